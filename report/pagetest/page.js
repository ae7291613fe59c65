'use strict';

// Loads the scripts of the page, in their order, into a context of their own, with a document that holds what they put
// into it and draws nothing. What the scripts declare is reached by its name.

const fs = require('node:fs');
const path = require('node:path');
const vm = require('node:vm');

// Stand is an element as far as the scripts use one.
class Stand {
  constructor(name) {
    Object.assign(this, {
      name, attributes: {}, children: [], listeners: {}, dataset: {}, style: {}, value: '', checked: false, hidden: false, disabled: false,
      clientWidth: 800, clientHeight: 400, clientLeft: 0, clientTop: 0, offsetWidth: 0, offsetHeight: 0, scrollTop: 0,
    });
    this.classList = { add() {}, remove() {} };
    this.tagName = name;
  }
  setAttribute(key, value) {
    this.attributes[key] = String(value);
    if (key.startsWith('data-')) this.dataset[key.slice(5)] = String(value);
  }
  hasAttribute(key) { return key in this.attributes; }
  removeAttribute(key) { delete this.attributes[key]; }
  append(...children) {
    for (const child of children) if (child instanceof Stand) child.parent = this;
    this.children.push(...children);
  }
  remove() { this.parent.children.splice(this.parent.children.indexOf(this), 1); }
  get textContent() { return this.children.map((child) => (child instanceof Stand ? child.textContent : String(child))).join(''); }
  set textContent(text) { this.children = text === '' ? [] : [text]; }
  get lastChild() { return this.children.at(-1); }
  get lastElementChild() { return this.children.at(-1); }
  replaceChildren(...children) { this.children = []; this.append(...children); }
  addEventListener(kind, listener) { this.listeners[kind] = listener; }
  querySelectorAll() { return []; }
  getBoundingClientRect() { return { left: 0, top: 0, bottom: 400, right: 800, width: 800, height: 400 }; }
  focus() {}
  scrollIntoView() {}
  getAttribute(key) { return key in this.attributes ? this.attributes[key] : null; }
  get childNodes() { return this.children; }
}

// open runs the scripts over the data of a page. `name` gives what a name of the scripts stands for, `run` a result of
// any expression in their words, and `by` an element of the page.
exports.open = (data, { hash = '', bars = [] } = {}) => {
  const elements = new Map();
  const by = (id) => {
    if (!elements.has(id)) elements.set(id, new Stand(id));
    return elements.get(id);
  };
  by('audit-data').textContent = JSON.stringify(data);
  const severity = [0, 1, 2].map(() => Object.assign(new Stand('input'), { checked: true }));
  const bar = bars.map((check) => Object.assign(new Stand('li'), { dataset: { check: String(check) } }));
  const selectors = { 'input[name=severity]': severity, '.exceptions th[data-key]': [], '.bars > li': bar };
  const document = Object.assign(new Stand('document'), {
    getElementById: (id) => (/\/|^[A-Z%]/.test(id) ? null : by(id)),
    body: new Stand('body'),
    createElement: (name) => new Stand(name),
    createElementNS: (_, name) => new Stand(name),
    createDocumentFragment: () => new Stand('fragment'),
    querySelector: () => new Stand('any'),
    querySelectorAll: (selector) => selectors[selector] || [],
  });
  const window = Object.assign(new Stand('window'), { innerWidth: 1400, innerHeight: 1000, scrollTo() {}, getSelection: () => '' });
  const history = { steps: 0, replaceState: (_, __, address) => { history.address = address; }, pushState: (_, __, address) => { history.address = address; history.steps++; } };
  const context = vm.createContext({
    document, window, history, location: { hash }, requestAnimationFrame: (draw) => draw(),
    ResizeObserver: class { observe() {} },
  });
  for (const script of process.env.PAGE_SCRIPTS.split(' ')) {
    const file = path.join(__dirname, '..', 'page', `${script}.js`);
    vm.runInContext(`'use strict';${fs.readFileSync(file, 'utf8')}`, context, { filename: file });
  }
  const run = (expression) => vm.runInContext(expression, context);
  return { run, by, severity, bar, history, name: (name) => run(name), plain: (expression) => JSON.parse(run(`JSON.stringify(${expression})`)) };
};

// example is the data of two lines: one of four structures that turns at the second, and one of two whose positions are not known.
exports.example = () => ({
  texts: ['', 'North line', '101', '102', '103', '104', 'tangent', 'angle', 'terminal', 'river', '7×U120B', 'no register', 'Harbour', 'A 1', 'A 2', 'South',
    'Has 2000 mm, needs 2500 mm.', 'Must hold tension.', 'ABC',
    '2026-11-24', 'aa0000000001 aa0000000002', 'bb0000000001', 'cc0000000001', 'dd0000000001-2'],
  classes: [{ letter: '', name: '' }, { letter: 'a', name: 'very light' }, { letter: 'b', name: 'light' }, { letter: 'c', name: 'class c' }],
  checks: [{ id: 'creepage', title: 'Too short a creepage', remedy: 'Add units.' }, { id: 'tension-at-deviation', title: 'Suspension at an angle', remedy: 'Hang tension.' }],
  all: true,
  structures: {
    number: [2, 3, 4, 5, 13, 14], role: [8, 7, 6, 8, 8, 8], requires: [2, 2, 1, 2, 0, 0], hangs: [0, 0, 0, 0, 0, 0], class: [2, 2, 3, 3, 0, 0], zone: [-1, -1, 0, 0, 1, -1],
    why: [0, 0, 0, 0, 11, 11], assembly: [10, 10, 10, 0, 0, 0], crosses: [0, 9, 0, 0, 0, 0], ahead: [1, 1, 1, 0, 1, 0],
    lon: [10000000, 1000, 2000, 500, null, null], lat: [50000000, -1000, 0, 250, null, null],
    chainage: [0, 3000, 3005, 2995, null, null], ground: [1000, 5, -20, null, null, null],
    deviation: [null, 1250, -30, null, null, null], limit: [200, 0, 0, 0, 0, 0],
    required: [2500, 2500, 2000, 2000, null, null], installed: [2500, 2000, 2000, null, null, null],
  },
  lines: { name: [1, 15], title: [12, 0], kv: [1320, null], count: [4, 2], of: [4, 1500], length: [900, null], assessed: [1, 0], closed: [0, 0] },
  exceptions: {
    severity: [0, 0, 1, 2], check: [0, 1, 0, 1], line: [0, 0, 0, 1], at: [1, 1, 2, -1], to: [-1, -1, 3, -1], detail: [18, 0, 0, 0], sentence: [16, 17, 16, 17],
    installed: [10, 10, 10, 0], margin: [-200, null, 15, null],
    job: [0, 0, 0, 0],
    state: [0, 1, 2, 1], firstSeen: [19, 19, 19, 19], ids: [20, 21, 22, 23],
  },
  zones: [
    { class: 3, label: 12, specific: null, rings: [[10000000, 50000000, 2000, 0, 0, 1000, -2000, 0]] },
    { class: 0, label: 0, specific: 31, rings: [[9000000, 49000000, 500, 0, 0, 500]] },
  ],
});
