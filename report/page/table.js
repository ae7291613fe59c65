
// The table of findings: filtered, sorted, a page at a time, of which the rows are made that are seen.

const table = { rows: byId('rows'), page: 0, size: window.innerWidth > 700 ? 200 : 25, made: 0, key: 'order', down: false, drawn: [], choices: [], group: null, bars: [], heads: [...document.querySelectorAll('.exceptions th[data-key]')] };
const collator = new Intl.Collator('en', { numeric: true });
const rowsAtOnce = 20, mostPlaces = 12;

// asked is what the filters ask for.
function asked() {
  const choice = (id) => (byId(id).value ? Number(byId(id).value) : undefined);
  return {
    words: wordsOf(byId('words').value), severity: [...document.querySelectorAll('input[name=severity]')].map((box) => box.checked), check: choice('check'), change: choice('state'),
    line: byId('of-line').value === 'shown' ? state.line : choice('of-line'),
    texts: table.choices.filter(({ select }) => select.value !== '').map(({ values, select }) => ({ values, value: Number(select.value) })),
  };
}

// isAsked tells whether anything is.
const isAsked = ({ words, severity, check, line, change, texts }) => words.length > 0 || severity.includes(false) || check !== undefined || line !== undefined || change !== undefined || texts.length > 0;

// filterTable finds what the filters leave, for the table, the map and the strip.
function filterTable() {
  const now = asked();
  state.shown = findingsLeft(now);
  state.worst.fill(clean);
  for (const e of state.shown) {
    const at = exceptions.at[e];
    if (at >= 0) state.worst[at] = Math.min(state.worst[at], closed[e] === 1 ? decidedOnly : exceptions.severity[e]);
  }
  state.marked = [[], [], [], []];
  state.worst.forEach((severityHere, s) => { if (severityHere < clean) state.marked[severityHere].push(s); });
  table.page = 0;
  sortTable();
  tellAsked(now);
  requestAnimationFrame(() => { drawMap(); drawStrip(); }); // in the frame after that in which the table is seen
}

// tellAsked shows what is asked for: at the bars, at the button that takes it back, and in words where nothing answers.
function tellAsked(now) {
  const any = isAsked(now);
  byId('clear').disabled = !any;
  byId('more-count').textContent = now.texts.length ? ` (${now.texts.length})` : '';
  for (const { check, button } of table.bars) button.setAttribute('aria-pressed', String(check === now.check));
  const left = byId('left');
  left.hidden = !any;
  if (any) left.replaceChildren(`${counted(state.shown.length, 'finding', 'findings')} left. `, element('a', { href: '#table' }, 'To the table'), ' ', wayBack('Clear'));
  const places = structuresWithout(now.words, mostPlaces, now.line);
  tellPlaces(places);
  const nothing = byId('nothing');
  nothing.hidden = state.shown.length > 0 || exceptionCount === 0;
  if (!nothing.hidden) {
    const held = byId('shown').dataset.of ? '' : ' that this page holds';
    nothing.replaceChildren(element('strong', null, 'Nothing found.'), ` None of the ${counted(exceptionCount, 'finding', 'findings')}${held} has all that is asked for${places.count ? '; see the structures above' : ''}. `, wayBack('Show all findings'));
  }
}

function wayBack(words) {
  const button = element('button', { type: 'button' }, words);
  button.addEventListener('click', clearFilters);
  return button;
}

function clearFilters() {
  for (const id of ['words', 'check', 'of-line', 'state']) byId(id).value = '';
  for (const box of document.querySelectorAll('input[name=severity]')) box.checked = true;
  for (const { select } of table.choices) select.value = '';
  filterTable();
  byId('table').focus({ preventScroll: true });
  tell(byId('shown').textContent);
}

// tellPlaces lists structures that are looked for and have no findings.
function tellPlaces({ list, count }) {
  const box = byId('places');
  box.hidden = !count;
  const links = list.flatMap((s) => {
    const line = lines[lineOf[s]];
    return [element('a', { href: `#${placeOf(s)}` }, element('bdi', null, line.name), ', ', element('bdi', null, text(structures.number[s])), line.assessed ? '' : ' (not assessed)'), ' '];
  });
  const none = byId('shown').dataset.of || !exceptionCount ? 'without exceptions' : 'without findings on this page';
  byId('places-told').textContent = count ? `${counted(count, 'structure', 'structures')} ${none}:` : '';
  byId('places-list').replaceChildren(...links, ...(count > list.length ? [`and ${grouped(count - list.length)} more`] : []));
}

const tell = (words) => { byId('told').textContent = words; };

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
  byId('more').hidden = false;
}

function sortTable() {
  const compare = compareBy[table.key], sign = table.down ? -1 : 1;
  const group = groupedBy();
  state.shown.sort((a, b) => (group ? compareTexts(text(group.values[a]), text(group.values[b])) : 0) || sign * compare(a, b) || a - b);
  showSorting(table.heads, table.heads.find((th) => th.dataset.key === table.key), table.down);
  drawTable();
}

// showSorting shows at the headings of a table by which of them it is sorted, if by any.
function showSorting(heads, by, down) {
  for (const th of heads) {
    if (th === by) th.setAttribute('aria-sort', down ? 'descending' : 'ascending'); else th.removeAttribute('aria-sort');
    th.querySelector('.arrow').textContent = th === by ? (down ? '▾' : '▴') : '';
  }
}

// offerSorting makes buttons of the headings of a table; sort is given the one that is pressed.
function offerSorting(heads, sort) {
  for (const th of heads) {
    const name = th.textContent, button = element('button', { type: 'button' }, name, element('span', { class: 'arrow', 'aria-hidden': 'true' }));
    button.addEventListener('click', () => sort(th));
    th.replaceChildren(button, element('span', { class: 'on-paper' }, name));
  }
}

function rowOf(e) {
  const check = checks[exceptions.check[e]], severity = exceptions.severity[e], at = exceptions.at[e], to = exceptions.to[e];
  const link = element('a', { href: `#${addressOf(e)}` }, element('bdi', null, lines[exceptions.line[e]].name));
  if (at >= 0) link.append(', ', element('bdi', null, text(structures.number[at])));
  if (to >= 0) link.append(' – ', element('bdi', null, text(structures.number[to])));
  const place = element('td', null, link, ...tagsOf(e).flatMap((tag) => [' ', element('span', { class: 'tag' }, element('bdi', null, tag))]));
  const others = carried.filter(({ values }) => text(values[e])).map(({ name, values }) => `${name}: ${text(values[e])}`);
  const facts = element('p', { class: 'soft' }, known(exceptions.margin[e]) ? `${marginText(e)} · ` : '', element('span', { class: 'code', title: check.title }, check.id));
  if (others.length) facts.append(' · ', element('bdi', null, shortened(others.join('; '), 300)));
  for (const href of text(photos[e] || 0).split('\n').filter(Boolean)) facts.append(' · ', element('a', { href }, 'Photo'));
  const row = element('tr', { 'data-exception': String(e) },
    element('td', { class: 'number' }, String(e + 1)), element('td', null, glyph(severity), severities[severity], ...(exceptions.state[e] === stands ? [] : [' ', element('strong', { class: 'state' }, changes[exceptions.state[e]])])), place,
    element('td', null, element('p', { dir: 'ltr' }, inOrder(text(exceptions.sentence[e]))), element('p', { class: 'remedy', dir: 'ltr' }, inOrder(remedyOf(e))), facts));
  if (closed[e] === 1) row.setAttribute('class', 'closed');
  markRow(row, e);
  return row;
}

const marginText = (e) => `margin ${exceptions.margin[e].toFixed(1).replace('-', '−')} %`;

// markRow marks the row of what is chosen, and puts what can be done with it beneath its sentence.
function markRow(row, e) {
  const on = e >= 0 && isChosen(e), was = row.hasAttribute('aria-current');
  if (on === was) return;
  if (!on) { row.removeAttribute('aria-current'); row.lastChild.lastChild.remove(); return; }
  row.setAttribute('aria-current', 'true');
  const copy = (name, words, told) => {
    const button = element('button', { type: 'button' }, name);
    button.addEventListener('click', (event) => { event.stopPropagation(); copyText(words(), told); });
    return button;
  };
  row.lastChild.append(element('p', { class: 'tools row-tools' }, copy('Copy row', () => rowAsText(e), 'The row is copied.'), ' ', copy('Copy link', () => `${location.href.replace(/#.*/, '')}#${addressOf(e)}`, 'The link is copied.')));
}

// copyText puts a text where it can be pasted from, also where a page may not reach that by itself.
function copyText(words, told) {
  const byHand = () => {
    const field = element('textarea', { class: 'unseen', 'aria-hidden': 'true' });
    field.value = words;
    document.body.append(field);
    field.select();
    const done = document.execCommand('copy');
    field.remove();
    return done;
  };
  const say = (done) => tell(done ? told : 'It could not be copied.');
  const board = window.navigator.clipboard;
  if (board) board.writeText(words).then(() => say(true), () => say(byHand())); else say(byHand());
}

// saveCSV hands over what the filters leave as a file.
function saveCSV() {
  const { createObjectURL: addressFor, revokeObjectURL: forget } = window.URL, file = new window.Blob([csvOf(state.shown)], { type: 'text/csv' });
  const address = addressFor(file), link = element('a', { href: address, download: `findings-${source.run}.csv` });
  link.click();
  requestAnimationFrame(() => forget(address));
  tell(`${counted(state.shown.length, 'finding', 'findings')} in a file of values.`);
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
  element('th', { scope: 'rowgroup', colspan: '4', dir: 'auto' }, `${name}: ${value || 'none'} (${counted(size, 'finding', 'findings')})`));

// drawTable draws a page of the table, or all of it, from its top: so many rows as are seen at once, the rest when it comes into view.
function drawTable(all) {
  const total = state.shown.length, from = all ? 0 : table.page * table.size, to = all ? total : Math.min(total, from + table.size);
  table.drawn = withGroups(state.shown.slice(from, to));
  table.made = 0;
  table.rows.replaceChildren();
  makeRows(all ? table.drawn.length : rowsAtOnce);
  const rest = total === exceptionCount ? '' : ` of ${grouped(exceptionCount)}`;
  const range = total > table.size ? `, rows ${grouped(from + 1)} to ${grouped(to)}` : '';
  const of = rest || !byId('shown').dataset.of ? '' : ` of ${byId('shown').dataset.of}`;
  byId('shown').textContent = `${grouped(total)}${rest} ${total === 1 && !rest ? 'finding' : 'findings'}${of}${range}`;
  byId('csv').disabled = total === 0;
  byId('pager').hidden = total <= table.size;
  byId('page-at').textContent = `Page ${table.page + 1} of ${Math.max(1, Math.ceil(total / table.size))}`;
  byId('page-back').disabled = table.page === 0;
  byId('page-on').disabled = to >= total;
}

// makeRows makes the rows of the page that is drawn up to a number of them.
function makeRows(upTo) {
  const rows = table.drawn.slice(table.made, upTo).map((drawn) => (typeof drawn === 'number' ? rowOf(drawn) : headOf(drawn)));
  table.made += rows.length;
  table.rows.append(...rows);
}

// makeMore makes more rows where the end of those that are made comes near.
function makeMore() {
  const last = table.rows.lastElementChild;
  if (table.made >= table.drawn.length || !last) return;
  const end = Math.min(byId('scroll').getBoundingClientRect().bottom, window.innerHeight);
  if (last.getBoundingClientRect().bottom < end + 800) makeRows(table.made + rowsAtOnce);
}

// showInTable turns to the page of a finding, where the filters leave it, and brings its row into view.
function showInTable(e, still) {
  const place = state.shown.indexOf(e);
  const page = Math.floor(place / table.size);
  if (place >= 0 && page !== table.page) { table.page = page; drawTable(); } else markRows();
  const at = place < 0 ? -1 : table.drawn.indexOf(e);
  if (at >= table.made) makeRows(at + rowsAtOnce);
  const row = at >= 0 && table.rows.children[at];
  if (!row || still) return;
  const box = byId('scroll').getBoundingClientRect(), here = row.getBoundingClientRect();
  if (here.top < box.top + 40 || here.bottom > box.bottom) byId('scroll').scrollTop += here.top - box.top - box.height / 3;
}

function markRows() {
  for (const row of table.rows.children) markRow(row, row.dataset.exception === undefined ? -1 : Number(row.dataset.exception));
}

function stepException(by) {
  if (!state.shown.length) return;
  const now = state.shown.findIndex((e) => isChosen(e));
  const next = now < 0 ? (by > 0 ? 0 : state.shown.length - 1) : (now + by + state.shown.length) % state.shown.length;
  chooseException(state.shown[next]);
}

// offerBars makes buttons of the bars of checks, each of which leaves the findings of its check, or takes that back.
function offerBars() {
  for (const item of document.querySelectorAll('.bars > li')) {
    const check = Number(item.dataset.check), button = element('button', { type: 'button', 'aria-pressed': 'false' }, ...item.childNodes);
    button.addEventListener('click', () => {
      byId('check').value = button.getAttribute('aria-pressed') === 'true' ? '' : String(check);
      filterTable();
    });
    item.replaceChildren(button);
    item.classList.add('pressed');
    table.bars.push({ check, button });
  }
}

(() => {
  document.querySelector('.exceptions').classList.add('live');
  for (const part of document.querySelectorAll('.live-only')) part.hidden = false;
  const sortBy = (key, down) => { Object.assign(table, { key, down, page: 0 }); byId('sort').value = key; sortTable(); };
  offerSorting(table.heads, ({ dataset: { key } }) => sortBy(key, table.key === key ? !table.down : false));
  const used = new Set(exceptions.check), on = new Set(exceptions.line);
  checks.forEach((check, i) => { if (used.has(i)) byId('check').append(element('option', { value: String(i) }, check.title)); });
  for (const line of lines) if (on.has(line.index)) byId('of-line').append(element('option', { value: String(line.index) }, shortened(line.name, 60)));
  carriedChoices();
  offerBars();
  byId('filters').addEventListener('submit', (event) => event.preventDefault());
  byId('filters').addEventListener('input', (event) => { if (event.target.id === 'sort') sortBy(event.target.value, false); else filterTable(); });
  byId('clear').addEventListener('click', clearFilters);
  byId('csv').addEventListener('click', saveCSV);
  const turn = (by) => { table.page += by; drawTable(); byId('scroll').scrollTop = 0; byId('scroll').scrollIntoView({ block: 'nearest' }); };
  byId('page-back').addEventListener('click', () => turn(-1));
  byId('page-on').addEventListener('click', () => turn(1));
  byId('scroll').addEventListener('scroll', makeMore, { passive: true });
  window.addEventListener('scroll', makeMore, { passive: true });
  table.rows.addEventListener('click', (event) => {
    const row = event.target.closest('tr');
    if (!row || row.dataset.exception === undefined || event.target.closest('button') || String(window.getSelection())) return;
    if (event.target.closest('a')) { if (event.ctrlKey || event.metaKey || event.shiftKey) return; event.preventDefault(); }
    chooseException(Number(row.dataset.exception));
  });
  if (window.requestIdleCallback) window.requestIdleCallback(() => { haystack(); structuresWithout(['\n'], 0); });
})();
