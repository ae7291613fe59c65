'use strict';

const { test } = require('node:test');
const assert = require('node:assert/strict');
const { open, example } = require('./page.js');

const shown = (page) => page.plain('state.shown');
const sorted = (page, key, down = false) => { page.run(`table.key = '${key}'; table.down = ${down}; sortTable()`); return shown(page); };

test('at first all exceptions are shown in their order, and the line of the gravest', () => {
  const page = open(example());
  assert.deepEqual(shown(page), [0, 1, 2, 3]);
  assert.equal(page.run('state.line'), 0);
  assert.equal(page.by('shown').textContent, '4 findings');
  assert.equal(page.by('rows').children.length, 4);
  page.by('shown').dataset.of = '9 exceptions';
  page.run('filterTable()');
  assert.equal(page.by('shown').textContent, '4 findings of 9 exceptions', 'says what it counts');
  page.severity[0].checked = false;
  page.run('filterTable()');
  assert.equal(page.by('shown').textContent, '2 of 4 findings');
});

test('words are looked for in place, sentence and check, all of them and in any case', () => {
  const page = open(example());
  for (const [words, left] of [['NORTH creepage', [0, 2]], ['south', [3]], ['103', [2]], ['deviation tension', [1, 3]], ['shortfall', [0, 1]], ['nowhere', []], ['  ', [0, 1, 2, 3]]]) {
    page.by('words').value = words;
    page.run('filterTable()');
    assert.deepEqual(shown(page), left, words);
  }
});

test('severity, check and line filter, and the marks follow the table', () => {
  const page = open(example());
  assert.deepEqual(page.plain('state.marked'), [[1], [2], [], []]);
  page.severity[0].checked = false;
  page.run('filterTable()');
  assert.deepEqual(shown(page), [2, 3]);
  assert.deepEqual(page.plain('state.marked'), [[], [2], [], []]);
  assert.equal(page.by('shown').textContent, '2 of 4 findings');
  page.by('of-line').value = 'shown';
  page.run('filterTable()');
  assert.deepEqual(shown(page), [2]);
  page.by('check').value = '1';
  page.run('filterTable()');
  assert.deepEqual(shown(page), []);
});

test('what is accepted or planned is marked apart, and only where nothing else is there', () => {
  const data = example();
  Object.assign(data.exceptions, { closed: [1, 0, 1, 0], decision: [0, 0, 0, 0], decided: [0, 0, 0, 0] });
  const page = open(data);
  const mark = (layer) => page.run(`${layer}.mark3.attributes.d`);
  assert.deepEqual(page.plain('state.marked'), [[1], [], [], [2]], 'structure 1 has one that is open');
  assert.equal(page.run('state.worst[2]'), 3);
  page.run('drawStripNow()');
  for (const layer of ['map.layers', 'strip.lanes']) {
    assert.match(mark(layer), /^M[^M]+$/, layer);
    assert.match(page.run(`${layer}.mark0.attributes.d`), /^M[^M]+$/, layer);
    assert.equal(page.run(`${layer}.mark1.attributes.d`), '', layer);
  }
  assert.equal(page.by('legend').children.at(-1).children.at(-1), 'accepted or planned');
  const without = open(example());
  assert.notEqual(without.by('legend').children.at(-1).children.at(-1), 'accepted or planned');
  assert.equal(without.run('map.layers.mark3.attributes.d'), '');
  data.exceptions.closed[1] = 1;
  assert.deepEqual(open(data).plain('state.marked'), [[], [], [], [1, 2]]);
});

test('the state since the last run filters, and is a word to look for', () => {
  const page = open(example());
  for (const [state, left] of [['0', [0]], ['1', [1, 3]], ['2', [2]], ['3', []], ['', [0, 1, 2, 3]]]) {
    page.by('state').value = state;
    page.run('filterTable()');
    assert.deepEqual(shown(page), left, state);
  }
  page.by('words').value = 'worse';
  page.run('filterTable()');
  assert.deepEqual(shown(page), [2]);
});

test('columns sort both ways, ties in the order of the exceptions, unknown margins last when ascending', () => {
  const page = open(example());
  assert.deepEqual(sorted(page, 'margin'), [0, 2, 1, 3]);
  assert.deepEqual(sorted(page, 'margin', true), [1, 3, 2, 0]);
  assert.deepEqual(sorted(page, 'check'), [0, 2, 1, 3]);
  assert.deepEqual(sorted(page, 'severity', true), [3, 2, 0, 1]);
  assert.deepEqual(sorted(page, 'place', true), [3, 2, 0, 1]);
  assert.deepEqual(sorted(page, 'order', true), [3, 2, 1, 0]);
});

test('the table is turned a page at a time', () => {
  const page = open(example());
  page.run('table.size = 3; drawTable()');
  assert.equal(page.by('shown').textContent, '4 findings, rows 1 to 3');
  assert.equal(page.by('pager').hidden, false);
  page.by('page-on').listeners.click();
  assert.deepEqual(page.by('rows').children.map((row) => row.attributes['data-exception']), ['3']);
  assert.equal(page.by('page-at').textContent, 'Page 2 of 2');
  assert.equal(page.by('page-on').disabled, true);
  page.run('showInTable(0)');
  assert.equal(page.run('table.page'), 0);
});

test('stepping goes round the exceptions shown, and the address follows', () => {
  const page = open(example());
  page.run('state.structure = -1; state.exception = -1; stepException(-1)');
  assert.equal(page.run('state.exception'), 3);
  assert.equal(page.history.address, '#e-dd0000000001-2');
  page.run('stepException(1)');
  assert.deepEqual(page.plain('[state.exception, state.structure, state.line]'), [0, 1, 0]);
});

test('a link chooses an exception, a structure or a line, and a wrong one nothing', () => {
  for (const [hash, chosen] of [
    ['#e-cc0000000001', [2, 2, 0]], ['#e-aa0000000002', [0, 1, 0]], ['#North%20line/103', [-1, 2, 0]], ['#South/A%201', [-1, 4, 1]], ['#South', [-1, -1, 1]],
  ]) assert.deepEqual(open(example(), { hash }).plain('[state.exception, state.structure, state.line]'), chosen, hash);
  const usual = open(example()).plain('[state.exception, state.structure, state.line]');
  for (const hash of ['#e-99', '#e-ffff00000000', '#nowhere/1', '#%E0%A4%A']) {
    assert.deepEqual(open(example(), { hash }).plain('[state.exception, state.structure, state.line]'), usual, hash);
  }
});

test('no name is taken for something else', () => {
  const named = (line, hash, also) => {
    const data = example();
    data.texts[1] = line;
    return open(Object.assign(data, also), { hash });
  };
  for (const line of ['e-cc0000000001', 'work-sheets', 'table', 'line', 'structure', 'a/b', 'line-0123456789abcdef']) {
    const escaped = encodeURIComponent(line);
    for (const [hash, chosen] of [[`#line/${escaped}`, [-1, -1, 0]], [`#structure/${escaped}/103`, [-1, 2, 0]]]) {
      const page = named(line, hash);
      assert.deepEqual(page.plain('[state.exception, state.structure, state.line]'), chosen, hash);
      assert.ok(page.by('not-here').hidden && page.by('sheets').hidden, hash);
    }
    const page = named(line, '');
    page.run('choose(2)');
    assert.equal(page.history.address, `#structure/${escaped}/103`);
  }
  assert.equal(named('South 2', '#line/South').run('state.line'), 1);
  assert.match(named('x', '#line/y').by('not-here').textContent, /the line y, which is not on this page/);
  assert.deepEqual(named('line', '#line/103').plain('[state.structure, state.line]'), [2, 0], 'a link of an earlier run to a structure of that line');
  const hashed = { hashed: { 'structure-0123456789abcdef': [0, 2], 'line-0123456789abcdef': [1, -1] } };
  assert.deepEqual(named('x… (400 characters)', '#structure-0123456789abcdef', hashed).plain('[state.structure, state.line]'), [2, 0]);
  assert.deepEqual(named('x… (400 characters)', '#line-0123456789abcdef', hashed).plain('[state.structure, state.line]'), [-1, 1]);
  assert.match(named('x', '#line-0000000000000000', hashed).by('not-here').textContent, /line or structure of the link is not on this page/);
});

test('the facts of a structure', () => {
  const page = open(example());
  const facts = (s) => Object.fromEntries(page.plain(`factsOf(${s})`).map(([name, value]) => [name, value]));
  assert.deepEqual(facts(1), {
    Structure: '102', Chainage: '0.300 km', Role: 'angle', Deviation: '12.50° right', Needs: 'tension', 'Zone class': 'b',
    'Creepage has / needs': '2\u202f000 / 2\u202f500 mm', 'Span ahead': '300.5 m', Ground: '101 m', 'Span ahead crosses': 'river', Registered: '7×U120B',
  });
  assert.deepEqual(facts(3), {
    Structure: '104', Chainage: '0.900 km', Role: 'terminal', Needs: 'tension', 'Zone class': 'c, Harbour', 'Creepage has / needs': '– / 2\u202f000 mm', Registered: 'nothing',
  });
  assert.equal(facts(4)['Creepage not assessed'], 'no register');
});

// carrying is the example with two columns that are carried through, one of them blank for an exception.
const carrying = () => {
  const data = example();
  const from = data.texts.length;
  data.texts.push('north', 'Contractor B', 'Contractor A');
  data.carried = [{ name: 'District', values: [from, 0, from, 0] }, { name: 'Contractor', values: [from + 1, from + 2, from + 1, 0] }];
  return { data, north: from, b: from + 1, a: from + 2 };
};

test('what is carried through is found by words and chosen by its texts', () => {
  const { data, north, a } = carrying();
  const page = open(data);
  page.by('words').value = 'NORTH creepage';
  page.run('filterTable()');
  assert.deepEqual(shown(page), [0, 2]);
  page.by('words').value = 'contractor';
  page.run('filterTable()');
  assert.deepEqual(shown(page), [0, 1, 2]);
  page.by('words').value = '';
  const choose = (place, value) => { page.run(`table.choices[${place}].select.value = '${value}'; filterTable()`); return shown(page); };
  assert.deepEqual(choose(0, north), [0, 2]);
  assert.deepEqual(choose(0, 0), [1, 3]);
  assert.deepEqual(choose(1, a), [1]);
  assert.equal(page.by('carried').hidden, false);
  assert.deepEqual(page.by('carried').children.map((select) => select.attributes['aria-label']), ['District', 'Contractor', 'Group the table by']);
});

test('the table is grouped by a column, in the order of its texts, blank ones last, sorted within', () => {
  const { data } = carrying();
  const page = open(data);
  page.run("table.group.value = '1'; filterTable()");
  assert.deepEqual(shown(page), [1, 0, 2, 3]);
  const rows = () => page.by('rows').children.map((row) => row.attributes['data-exception'] ?? row.children[0].children[0]);
  assert.deepEqual(rows(), ['Contractor: Contractor A (1 finding)', '1', 'Contractor: Contractor B (2 findings)', '0', '2', 'Contractor: none (1 finding)', '3']);
  assert.deepEqual(sorted(page, 'order', true), [1, 2, 0, 3]);
  page.run("table.size = 2; table.page = 1; drawTable()");
  assert.deepEqual(rows(), ['Contractor: Contractor B (2 findings)', '0', 'Contractor: none (1 finding)', '3']);
  page.run("table.group.value = ''; filterTable()");
  assert.deepEqual(rows(), ['3', '2']);
});

test('a column of one text or of very many is not chosen from', () => {
  const { data, north } = carrying();
  data.carried = [{ name: 'District', values: [north, north, north, north] }];
  const page = open(data);
  assert.equal(page.run('table.choices.length'), 0);
  assert.equal(open(example()).run('table.group'), null);
});

test('a decision is found by words, chosen by its word, grouped by, and greys the row that it closes', () => {
  const data = example();
  const from = data.texts.length;
  data.texts.push('accept, in force', 'data wrong, in force', 'until 2027-01-31; by K. Lee');
  Object.assign(data.exceptions, { decision: [from, 0, from + 1, 0], decided: [from + 2, 0, 0, 0], closed: [1, 0, 0, 0] });
  const page = open(data);
  assert.deepEqual(page.by('rows').children.map((row) => row.attributes.class), ['closed', undefined, undefined, undefined]);
  page.run(`table.choices[0].select.value = '${from}'; filterTable()`);
  assert.deepEqual(shown(page), [0]);
  page.run("table.choices[0].select.value = '0'; filterTable()");
  assert.deepEqual(shown(page), [1, 3]);
  page.run("table.choices[0].select.value = ''; filterTable()");
  page.by('words').value = 'lee';
  page.run('filterTable()');
  assert.deepEqual(shown(page), [0]);
  assert.equal(page.run('decisionOf(0)'), 'accept, in force; until 2027-01-31; by K. Lee');
  assert.equal(page.run('decisionOf(1)'), '');
  assert.equal(open(example()).run('closed[0] === 1'), false);
});

test('words from the right are isolated run by run, so that what stands beside them keeps its order', () => {
  const page = open(example()), isolated = (name) => `\u2068${name}\u2069`;
  for (const [sentence, want] of [
    ['13 × U120B at Østby', '13 × U120B at Østby'],
    ['13 × אב, 2 of them', `13 × ${isolated('אב')}, 2 of them`],
    ['line קו 132 צפון: 3 × אב (או גד)', `line ${isolated('קו 132 צפון')}: 3 × ${isolated('אב')} (${isolated('או גד')})`],
    ['קו, 1, קו', `${isolated('קו')}, 1, ${isolated('קו')}`],
    ['خَطّ 7', `${isolated('خَطّ')} 7`],
  ]) assert.equal(page.run(`inOrder(${JSON.stringify(sentence)})`), want);
  assert.equal(page.run(`nameOf({ name: 'קו 132 צפון', kv: 220 })`), `${isolated('קו 132 צפון')} · 220 kV`, 'on the map too');
});
