
// Choosing, hovering, links, printing: what ties map, strip and table together.

// choose makes a structure the chosen one everywhere.
function choose(s, { from = '', exception = -1 } = {}) {
  state.structure = s;
  const own = atStructure.get(s) || [];
  state.exception = exception;
  if (lineOf[s] !== state.line) setLine(lineOf[s]);
  stripToStructure(s);
  if (from !== 'map' && from !== 'load') bringIntoView(s, from === 'table' || from === 'link');
  const first = exception >= 0 ? exception : own.find((e) => state.shown.includes(e));
  if (first === undefined) markRows(); else showInTable(first, from === 'load');
  drawMap();
  drawStrip();
  drawFacts();
  if (from === 'load') return;
  remember(from === 'strip');
  tell(`Chosen: ${lines[lineOf[s]].name}, ${spoken(s)}`);
}

function chooseException(e, from = 'table') {
  if (!(e >= 0 && e < exceptionCount)) return;
  if (exceptions.at[e] >= 0) { choose(exceptions.at[e], { from, exception: e }); return; }
  state.exception = e;
  state.structure = -1;
  setLine(exceptions.line[e]);
  if (from !== 'load') showBox(wholeBox([lines[state.line]]));
  showInTable(e, from === 'load');
  drawFacts();
  if (from === 'load') return;
  remember();
  tell(`Chosen: ${lines[state.line].name}, ${severities[exceptions.severity[e]]}: ${text(exceptions.sentence[e])}`);
}

function lineShown() {
  if (byId('of-line').value === 'shown') filterTable();
}

function stretchPath() {
  const e = state.exception;
  if (e < 0) return '';
  if (exceptions.at[e] < 0) return routePath(lines[exceptions.line[e]]);
  if (exceptions.to[e] < 0) return '';
  const from = Math.min(exceptions.at[e], exceptions.to[e]), to = Math.max(exceptions.at[e], exceptions.to[e]);
  return routePath(lines[exceptions.line[e]], from, to);
}

function factsOf(s) {
  const line = lines[lineOf[s]], facts = [];
  const add = (name, value, wide) => { if (value) facts.push([name, value, wide]); };
  add('Structure', text(structures.number[s]));
  add('Proposed work', text(structures.work[s]), true);
  add('Units to fit', text(structures.fit[s]));
  add('Units to remove', text(structures.remove[s]));
  add('Registered', text(structures.assembly[s]) || 'nothing', true);
  add('Weighed', text(structures.weighing[s]), true);
  add('Chainage', known(structures.chainage[s]) ? `${(structures.chainage[s] / 1000).toFixed(3)} km` : '');
  add('Role', text(structures.role[s]));
  add('Deviation', known(structures.deviation[s]) ? degrees(structures.deviation[s]) : '');
  add('Needs', ['', 'suspension', 'tension'][structures.requires[s]]);
  add('Zone class', zones[structures.zone[s]] && zones[structures.zone[s]].label ? `${siteOf(s)}, ${zones[structures.zone[s]].label}` : siteOf(s));
  const needs = known(structures.required[s]) ? grouped(structures.required[s]) : '–', has = known(structures.installed[s]) ? grouped(structures.installed[s]) : '–';
  add('Creepage has / needs', needs === '–' && has === '–' ? '' : `${has} / ${needs} mm`);
  if (s + 1 < line.end && structures.ahead[s] && source.all) add('Span ahead', `${(structures.chainage[s + 1] - structures.chainage[s]).toFixed(1)} m`);
  const level = text(structures.level[s]);
  add('Ground', known(structures.ground[s]) ? `${grouped(structures.ground[s])} m${level ? ` (${level})` : ''}` : level);
  add('Span ahead crosses', text(structures.crosses[s]));
  if (structures.why[s]) add('Creepage not assessed', text(structures.why[s]), true);
  return facts;
}

// drawFacts shows what is wrong with the chosen structure and what to do, then its figures.
function drawFacts() {
  const cells = [];
  const cell = (name, value, kind) => cells.push(element('div', kind ? { class: kind } : null, element('dt', null, name), element('dd', { dir: 'ltr' }, ...(Array.isArray(value) ? value : [inOrder(value)]))));
  const s = state.structure, facts = s >= 0 ? factsOf(s) : [];
  for (const [, value] of facts.slice(0, 1)) cell('Line, structure', [element('bdi', null, lines[lineOf[s]].name), ', ', element('bdi', null, value)], 'wide place');
  const own = s >= 0 ? [...(atStructure.get(s) || [])] : state.exception >= 0 ? [state.exception] : [];
  own.sort((a, b) => (b === state.exception) - (a === state.exception));
  own.slice(0, 12).forEach((e) => {
    const name = document.createDocumentFragment();
    name.append(glyph(exceptions.severity[e]), `${severities[exceptions.severity[e]]}: ${checks[exceptions.check[e]].title}`);
    const soft = [known(exceptions.margin[e]) ? marginText(e) : '', `${changes[exceptions.state[e]]}, first seen ${text(exceptions.firstSeen[e])}`, decisionOf(e) ? `decision: ${decisionOf(e)}` : ''].filter(Boolean);
    cell(name, [...tagsOf(e).flatMap((tag) => [element('span', { class: 'tag' }, element('bdi', null, tag)), ' ']), element('strong', null, inOrder(text(exceptions.sentence[e]))),
      element('p', { class: 'remedy', dir: 'ltr' }, inOrder(remedyOf(e))), element('p', { class: 'soft', dir: 'ltr' }, inOrder(soft.join(' · ')))], 'wide verdict');
  });
  if (own.length > 12) cell('and', `${own.length - 12} more, which the table lists`, 'wide');
  if (s >= 0 && !own.length) cell('Exceptions', 'None. What could not be judged stands under What was judged; it is not the same as meeting.', 'wide');
  const told = own.some((e) => exceptions.job[e] === 1);
  for (const [name, value, wide] of facts.slice(1)) if (!told || name !== 'Proposed work') cell(name, value, wide ? 'wide' : '');
  if (!cells.length) cell('No structure chosen', 'Choose one on the map, the strip or in the table; on the strip the arrow keys step along the line.', 'wide');
  byId('facts').replaceChildren(...cells);
  offerSheets();
  byId('facts-box').scrollTop = 0;
  const line = lines[state.line];
  if (!line) return;
  strip.box.setAttribute('aria-valuenow', String(s >= line.first && s < line.end ? s - line.first + 1 : 1));
  strip.box.setAttribute('aria-valuetext', s >= 0 ? spoken(s) : 'none chosen');
}

function spoken(s) {
  const own = atStructure.get(s) || [];
  return [`structure ${text(structures.number[s])}`, text(structures.role[s]), known(structures.deviation[s]) ? degrees(structures.deviation[s]) : '',
    own.length ? own.map((e) => `${severities[exceptions.severity[e]]}: ${text(exceptions.sentence[e])}`).slice(0, 3).join(' ') : 'no exception'].filter(Boolean).join(', ');
}

// tipOf is what is told of a structure under the pointer.
function tipOf(s) {
  const rows = [`${lines[lineOf[s]].name} · ${text(structures.number[s])}`,
    [text(structures.role[s]), known(structures.deviation[s]) ? degrees(structures.deviation[s]) : '', `class ${siteOf(s)}`].filter(Boolean).join(', '),
    [known(structures.required[s]) ? `needs ${grouped(structures.required[s])} mm` : '', known(structures.installed[s]) ? `has ${grouped(structures.installed[s])} mm` : ''].filter(Boolean).join(', '),
    text(structures.assembly[s])];
  const own = atStructure.get(s) || [];
  return [...rows.filter(Boolean).map((row) => element('p', { dir: 'ltr' }, inOrder(shortened(row, 160)))),
    ...own.slice(0, 3).map((e) => element('p', { dir: 'ltr' }, glyph(exceptions.severity[e]), inOrder(shortened(text(exceptions.sentence[e]), 200)))),
    ...(own.length > 3 ? [element('p', null, `and ${own.length - 3} more`)] : [])];
}

// Links: #e- and an id is an exception, whatever stands around it in this run, #line/ and a name a line, #structure/ with line and number a structure,
// #line- or #structure- and a hash the same where the names are too long, #work-sheets (/line, /structure) the sheets of jobs; names are
// percent-encoded. Links of earlier runs have no kind before the names: what else they may mean goes before.
//
// Each choice is a step back for the browser, but for those along the strip, of which only the last is.
function remember(along) {
  const s = state.structure;
  const hash = state.exception >= 0 ? addressOf(state.exception) : s >= 0 ? placeOf(s) : '';
  byId('not-here').hidden = true;
  if (`#${hash}` === (location.hash || '#')) return;
  try { history[along ? 'replaceState' : 'pushState'](null, '', `#${hash}`); } catch { /* where a page may not change its own address */ }
}

// follow goes where the address leads, and tells whether that is anywhere on the page.
function follow() {
  const hash = location.hash.slice(1), sheets = sheetsOf(hash);
  closeSheets();
  byId('not-here').hidden = true;
  if (sheets) { showSheets(sheets, hash); return true; }
  if (!hash) return false;
  const id = /^e-([0-9a-f]+(-\d+)?)$/.exec(hash);
  if (id) {
    const e = exceptions.ids.findIndex((ids) => text(ids).split(' ').includes(id[1]));
    if (e >= 0) { chooseException(e, 'link'); return true; }
    return notHere('The exception of the link is not on this page: it is cleared since, which the sheet Cleared says, or beyond what the page holds.');
  }
  const place = namedBy(hash);
  if (!place) return notHere('The link cannot be read.');
  const { line, name, number } = place;
  if (!line && /^(line|structure)-[0-9a-f]{16}$/.test(hash)) return notHere('The line or structure of the link is not on this page.');
  if (!line) return document.getElementById(hash) ? false : notHere(`The link asks for the line ${name}, which is not on this page.`);
  for (let s = line.first; s < line.end && number !== undefined; s++) {
    if (place.at === s || (place.at === undefined && text(structures.number[s]) === number)) { choose(s, { from: 'link' }); return true; }
  }
  state.structure = -1; state.exception = -1;
  setLine(line.index);
  showBox(wholeBox([line]));
  drawStrip(); drawFacts(); markRows();
  if (number !== undefined) notHere(`The link asks for the structure ${number} of the line ${line.name}, which is not on this page.`);
  return true;
}

// namedBy tells which line a link asks for, and which structure; line is undefined where none is called so. Null for what cannot be read.
function namedBy(hash) {
  if (hashed.has(hash)) {
    const [l, at] = hashed.get(hash);
    return { line: lines[l], at, number: at < 0 ? undefined : text(structures.number[at]) };
  }
  let names;
  try { names = hash.split('/').map(decodeURIComponent); } catch { return null; }
  const called = (name) => lines.find((l) => l.name === name), [kind, name, ...rest] = names;
  const isLine = kind === 'line' && names.length === 2, isStructure = kind === 'structure' && names.length > 2;
  if ((isLine || isStructure) && (called(name) || !called(kind))) return { line: called(name), name, number: isStructure ? rest.join('/') : undefined };
  return { line: called(kind), name: kind, number: names.length > 1 ? names.slice(1).join('/') : undefined };
}

// bringFollowed brings into view what the address led to: the chosen finding or structure, the drawing of a line, the first of the sheets.
function bringFollowed() {
  if (!byId('sheets').hidden) window.scrollTo(0, 0);
  else if (!byId('not-here').hidden) byId('not-here').scrollIntoView({ block: 'nearest' });
  else byId(state.exception >= 0 || state.structure >= 0 ? 'chosen' : 'work').scrollIntoView({ block: 'start' });
}

function notHere(words) {
  byId('not-here').textContent = shortened(words, 300);
  byId('not-here').hidden = false;
  return false;
}

(() => {
  byId('drawing').hidden = false;
  byId('filters').hidden = false;
  byId('work').classList.add('live');
  byId('chosen').append(byId('facts-box'));
  byId('chosen').hidden = false;
  const select = byId('line');
  for (const l of lines) {
    const n = l.counts[0] + l.counts[1] + l.counts[2];
    select.append(element('option', { value: String(l.index) }, `${l.name}${l.title ? ` – ${l.title}` : ''}${n ? ` (${counted(n, 'finding', 'findings')})` : ''}`));
  }
  legend(closed.includes(1) ? [...severities, 'accepted or planned'] : severities);
  filterTable();
  if (lines.length) {
    const worst = exceptionCount ? exceptions.line[0] : 0;
    setLine(Math.max(0, worst));
  }
  map.width = map.box.clientWidth; map.height = map.box.clientHeight;
  showBox(startBox());
  drawFacts();
  if (follow()) requestAnimationFrame(bringFollowed); else if (exceptionCount) chooseException(0, 'load');
  select.addEventListener('change', () => {
    state.structure = -1; state.exception = -1;
    setLine(Number(select.value));
    showBox(wholeBox([lines[state.line]]));
    drawStrip(); drawFacts(); markRows(); remember();
  });
  window.addEventListener('hashchange', () => {
    if (follow()) bringFollowed();
    else if (!location.hash && exceptionCount) chooseException(0, 'load');
    else if (!byId('not-here').hidden) byId('not-here').scrollIntoView({ block: 'nearest' });
  });
  const lineName = () => encodeURIComponent(lines[state.line].name);
  byId('sheet-one').addEventListener('click', () => { location.hash = `work-sheets/${lineName()}/${encodeURIComponent(text(structures.number[state.structure]))}`; });
  byId('sheets-line').addEventListener('click', () => { location.hash = `work-sheets/${lineName()}`; });
  byId('sheets-all').addEventListener('click', () => { location.hash = 'work-sheets'; });
  byId('sheets-back').addEventListener('click', () => { remember(); closeSheets(); });
  byId('sheets-print').addEventListener('click', () => window.print());
  byId('previous').addEventListener('click', () => stepException(-1));
  byId('next').addEventListener('click', () => stepException(1));
  document.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || /^(INPUT|SELECT|TEXTAREA)$/.test(event.target.tagName)) return;
    if (event.key === 'n') stepException(1);
    else if (event.key === 'p') stepException(-1);
    else if (event.key === 'l' && lines[state.line]) showBox(wholeBox([lines[state.line]]));
  });
  onPaper(drawTable);
})();
