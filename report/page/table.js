
// The table of exceptions: filtered, sorted, a page at a time.

const table = { rows: byId('rows'), page: 0, size: 200, key: 'order', down: false, haystack: null, drawn: [], choices: [], group: null };
const collator = new Intl.Collator('en', { numeric: true });

const placeText = (e) => {
  const at = exceptions.at[e], to = exceptions.to[e], line = lines[exceptions.line[e]].name;
  if (at < 0) return line;
  return `${line}, ${text(structures.number[at])}${to < 0 ? '' : ` – ${text(structures.number[to])}`}`;
};

function haystack() {
  table.haystack = table.haystack || Array.from({ length: exceptionCount }, (_, e) => {
    const check = checks[exceptions.check[e]];
    return [placeText(e), text(exceptions.detail[e]), text(exceptions.sentence[e]), text(exceptions.installed[e]), check.id, check.title, severities[exceptions.severity[e]], changes[exceptions.state[e]], ...carried.map(({ values }) => text(values[e]))].join('\n').toLowerCase();
  });
  return table.haystack;
}

// filterTable finds what the filters leave, for the table, the map and the strip.
function filterTable() {
  const words = byId('words').value.toLowerCase().split(/\s+/).filter(Boolean), check = byId('check').value, only = byId('only-line').checked, change = byId('state').value;
  const severity = [...document.querySelectorAll('input[name=severity]')].map((box) => box.checked);
  state.shown = [];
  for (let e = 0; e < exceptionCount; e++) {
    if (!severity[exceptions.severity[e]] || (check !== '' && exceptions.check[e] !== Number(check)) || (only && exceptions.line[e] !== state.line) || (change !== '' && exceptions.state[e] !== Number(change))) continue;
    if (table.choices.some(({ values, select }) => select.value !== '' && values[e] !== Number(select.value))) continue;
    if (words.length && !words.every((word) => haystack()[e].includes(word))) continue;
    state.shown.push(e);
  }
  state.worst.fill(clean);
  for (const e of state.shown) {
    const at = exceptions.at[e];
    if (at >= 0) state.worst[at] = Math.min(state.worst[at], closed[e] === 1 ? decidedOnly : exceptions.severity[e]);
  }
  state.marked = [[], [], [], []];
  state.worst.forEach((severityHere, s) => { if (severityHere < clean) state.marked[severityHere].push(s); });
  table.page = 0;
  sortTable();
}

const compareBy = {
  order: (a, b) => a - b,
  severity: (a, b) => exceptions.severity[a] - exceptions.severity[b],
  place: (a, b) => collator.compare(lines[exceptions.line[a]].name, lines[exceptions.line[b]].name) || exceptions.at[a] - exceptions.at[b],
  check: (a, b) => exceptions.check[a] - exceptions.check[b],
  margin: (a, b) => (known(exceptions.margin[a]) ? exceptions.margin[a] : Infinity) - (known(exceptions.margin[b]) ? exceptions.margin[b] : Infinity) || 0,
};

// groupedBy is the column that the table is grouped by, undefined where it is by none.
const groupedBy = () => (table.group && table.group.value !== '' ? carried[Number(table.group.value)] : undefined);

// compareTexts orders texts as people do, those that are blank last.
const compareTexts = (a, b) => (a === '') - (b === '') || collator.compare(a, b) || (a < b ? -1 : Number(a > b));

// mostChoices is how many different texts a column may have that can be chosen from.
const mostChoices = 40;

function carriedChoices() {
  if (!carried.length) return;
  const box = byId('carried');
  for (const { name, values } of carried) {
    const different = [...new Set(values)];
    if (different.length < 2 || different.length > mostChoices) continue;
    const select = element('select', { 'aria-label': name }, element('option', { value: '' }, `${name}: all`));
    different.sort((a, b) => compareTexts(text(a), text(b)));
    for (const value of different) select.append(element('option', { value: String(value) }, shortened(text(value), 60) || `${name}: none`));
    table.choices.push({ values, select });
    box.append(select);
  }
  table.group = element('select', { 'aria-label': 'Group the table by' }, element('option', { value: '' }, 'Not grouped'));
  carried.forEach(({ name }, i) => table.group.append(element('option', { value: String(i) }, `Grouped by ${name}`)));
  box.append(table.group);
  box.hidden = false;
}

function sortTable() {
  const compare = compareBy[table.key], sign = table.down ? -1 : 1;
  const group = groupedBy();
  state.shown.sort((a, b) => (group ? compareTexts(text(group.values[a]), text(group.values[b])) : 0) || sign * compare(a, b) || a - b);
  for (const th of document.querySelectorAll('.exceptions th[data-key]')) {
    const on = th.dataset.key === table.key;
    if (on) th.setAttribute('aria-sort', table.down ? 'descending' : 'ascending'); else th.removeAttribute('aria-sort');
    th.querySelector('.arrow').textContent = on ? (table.down ? ' ▾' : ' ▴') : '';
  }
  drawTable();
  drawMap();
  drawStrip();
}

function rowOf(e) {
  const check = checks[exceptions.check[e]], severity = exceptions.severity[e], at = exceptions.at[e], to = exceptions.to[e];
  const link = element('a', { href: `#${addressOf(e)}` }, element('bdi', null, lines[exceptions.line[e]].name));
  if (at >= 0) link.append(', ', element('bdi', null, text(structures.number[at])));
  if (to >= 0) link.append(' – ', element('bdi', null, text(structures.number[to])));
  const place = element('td', null, link);
  if (exceptions.detail[e]) place.append(element('br'), element('span', { class: 'soft', dir: 'auto' }, text(exceptions.detail[e])));
  const others = carried.filter(({ values }) => text(values[e])).map(({ name, values }) => `${name}: ${text(values[e])}`);
  const wrong = element('td', null, element('span', { dir: 'auto' }, text(exceptions.sentence[e])), element('br'), element('span', { class: 'soft code', title: check.title }, check.id));
  if (others.length) wrong.append(element('br'), element('span', { class: 'soft', dir: 'auto' }, shortened(others.join('; '), 300)));
  const row = element('tr', { 'data-exception': String(e) },
    element('td', { class: 'number' }, String(e + 1)), element('td', null, glyph(severity), severities[severity], ...(exceptions.state[e] === stands ? [] : [element('br'), element('strong', { class: 'state' }, changes[exceptions.state[e]])])), place, wrong,
    element('td', { class: 'number' }, known(exceptions.margin[e]) ? exceptions.margin[e].toFixed(1).replace('-', '−') : ''));
  if (closed[e] === 1) row.setAttribute('class', 'closed');
  if (isChosen(e)) row.setAttribute('aria-current', 'true');
  return row;
}

const isChosen = (e) => (state.exception >= 0 ? e === state.exception : state.structure >= 0 && exceptions.at[e] === state.structure);

// withGroups puts what begins a group before its first exception.
function withGroups(list) {
  const group = groupedBy();
  if (!group) return list;
  const sizes = new Map();
  for (const e of state.shown) sizes.set(group.values[e], (sizes.get(group.values[e]) || 0) + 1);
  return list.flatMap((e, i) => (i && group.values[list[i - 1]] === group.values[e] ? [e] : [{ name: group.name, value: text(group.values[e]), size: sizes.get(group.values[e]) }, e]));
}

const headOf = ({ name, value, size }) => element('tr', { class: 'group' },
  element('th', { scope: 'rowgroup', colspan: '5', dir: 'auto' }, `${name}: ${value || 'none'} (${counted(size, 'finding', 'findings')})`));

function drawTable(all) {
  const total = state.shown.length, from = all ? 0 : table.page * table.size, to = all ? total : Math.min(total, from + table.size);
  table.drawn = withGroups(state.shown.slice(from, to));
  table.rows.replaceChildren(...table.drawn.map((drawn) => (typeof drawn === 'number' ? rowOf(drawn) : headOf(drawn))));
  const rest = total === exceptionCount ? '' : ` of ${grouped(exceptionCount)}`;
  const range = total > table.size ? `, rows ${grouped(from + 1)} to ${grouped(to)}` : '';
  const of = rest || !byId('shown').dataset.of ? '' : ` of ${byId('shown').dataset.of}`;
  byId('shown').textContent = `${grouped(total)}${rest} ${total === 1 && !rest ? 'finding' : 'findings'}${of}${range}`;
  byId('pager').hidden = total <= table.size;
  byId('page-at').textContent = `Page ${table.page + 1} of ${Math.max(1, Math.ceil(total / table.size))}`;
  byId('page-back').disabled = table.page === 0;
  byId('page-on').disabled = to >= total;
}

// showInTable turns to the page of an exception, where the filters leave it, and brings its row into view.
function showInTable(e) {
  const place = state.shown.indexOf(e);
  const page = Math.floor(place / table.size);
  if (place >= 0 && page !== table.page) { table.page = page; drawTable(); } else markRows();
  const row = place >= 0 && table.rows.children[place - table.page * table.size];
  if (!row) return;
  const box = byId('scroll').getBoundingClientRect(), at = row.getBoundingClientRect();
  if (at.top < box.top + 40 || at.bottom > box.bottom) byId('scroll').scrollTop += at.top - box.top - box.height / 3;
}

function markRows() {
  for (const row of table.rows.children) {
    if (isChosen(Number(row.dataset.exception))) row.setAttribute('aria-current', 'true'); else row.removeAttribute('aria-current');
  }
}

function stepException(by) {
  if (!state.shown.length) return;
  const now = state.shown.findIndex((e) => isChosen(e));
  const next = now < 0 ? (by > 0 ? 0 : state.shown.length - 1) : (now + by + state.shown.length) % state.shown.length;
  chooseException(state.shown[next]);
}

(() => {
  document.querySelector('.exceptions').classList.add('live');
  for (const th of document.querySelectorAll('.exceptions th[data-key]')) {
    const name = th.textContent;
    const button = element('button', { type: 'button' }, name, element('span', { class: 'arrow', 'aria-hidden': 'true' }));
    button.addEventListener('click', () => {
      table.down = table.key === th.dataset.key ? !table.down : false;
      table.key = th.dataset.key;
      table.page = 0;
      sortTable();
    });
    th.replaceChildren(button, element('span', { class: 'on-paper' }, name));
  }
  const used = new Set(exceptions.check);
  checks.forEach((check, i) => { if (used.has(i)) byId('check').append(element('option', { value: String(i) }, check.title)); });
  carriedChoices();
  byId('filters').addEventListener('submit', (event) => event.preventDefault());
  byId('filters').addEventListener('input', filterTable);
  byId('page-back').addEventListener('click', () => { table.page--; drawTable(); byId('scroll').scrollTop = 0; });
  byId('page-on').addEventListener('click', () => { table.page++; drawTable(); byId('scroll').scrollTop = 0; });
  table.rows.addEventListener('click', (event) => {
    const row = event.target.closest('tr');
    if (!row || row.dataset.exception === undefined || String(window.getSelection())) return;
    if (event.target.closest('a')) { if (event.ctrlKey || event.metaKey || event.shiftKey) return; event.preventDefault(); }
    chooseException(Number(row.dataset.exception));
  });
})();
