// Choosing a scenario, a line and a structure, and the links to them.

// addressOf is the link to a structure in the chosen scenario.
const addressOf = (s) => `${chosenScenario().link}/${encodeURIComponent(lines[lineOf[s]].name)}/${encodeURIComponent(text(structures.number[s]))}`;

// lineShown adds what the chosen line is in the scenario.
function lineShown() {
  const route = chosenScenario().routes.find((r) => r.line === state.line);
  if (route && route.kv !== null) byId('line-facts').textContent += ` · Um ${figure(route.kv)} kV in the scenario`;
}
const stretchPath = () => '';

// choose makes a structure the chosen one everywhere.
function choose(s, { from = '' } = {}) {
  state.structure = s;
  if (lineOf[s] !== state.line) setLine(lineOf[s]);
  stripToStructure(s);
  if (from !== 'map') bringIntoView(s, from === 'table' || from === 'link');
  markRow();
  drawMap();
  drawStrip();
  drawFacts();
  if (from !== 'link') remember(addressOf(s));
}

function remember(hash) {
  sayNotHere();
  try { history.replaceState(null, '', `#${hash}`); } catch { /* where a page may not change its own address */ }
}

function factsOf(s) {
  const scenario = chosenScenario(), facts = [];
  const add = (name, value, wide) => { if (value) facts.push([name, value, wide]); };
  add('Structure', text(structures.number[s]));
  const notKnown = text(scenario.notKnown[s]);
  add('In this scenario', state.worst[s] === 0 && scenario.needed[s] ? 'needs work; no remedy serves all of it' :
    notKnown && scenario.needed[s] ? 'needs work; not known what serves all of it' : states[state.worst[s]] || 'not about its line');
  add('Cannot be judged', notKnown);
  add('Stopped by', text(scenario.stop[s]));
  add('Needed', text(scenario.needed[s]), true);
  add('Hangs today', text(scenario.hangs[s]) || text(structures.assembly[s]) || 'nothing registered', true);
  add('Units to fit', text(scenario.fit[s]));
  add('Longer by, mm', text(scenario.longer[s]));
  add('Conductor hangs lower by, mm', text(scenario.lower[s]));
  add('Only if a look asks for it', text(scenario.ifLook[s]));
  add('What stops it, what stays open', text(scenario.why[s]), true);
  add('What falls short', text(scenario.wrong[s]), true);
  add('Creepage by', scenario.site[s] ? text(scenario.site[s]) : siteOf(s));
  add('Chainage', known(structures.chainage[s]) ? `${(structures.chainage[s] / 1000).toFixed(3)} km` : '');
  add('Role', text(structures.role[s]));
  add('Deviation', known(structures.deviation[s]) ? degrees(structures.deviation[s]) : '');
  return facts;
}

// drawFacts shows what the scenario comes to at the chosen structure.
function drawFacts() {
  const s = state.structure, line = lines[state.line];
  const facts = s >= 0 ? factsOf(s) : [['No structure chosen', 'Choose one on the map, the strip or in the table; on the strip the arrow keys step along the line.', true]];
  byId('facts').replaceChildren(...facts.map(([name, value, wide]) => element('div', wide ? { class: 'wide' } : null, element('dt', null, name), element('dd', { dir: 'auto' }, value))));
  byId('facts-box').scrollTop = 0;
  if (!line) return;
  strip.box.setAttribute('aria-valuenow', String(s >= line.first && s < line.end ? s - line.first + 1 : 1));
  strip.box.setAttribute('aria-valuetext', s >= 0 ? [`structure ${text(structures.number[s])}`, states[state.worst[s]], text(chosenScenario().stop[s]), shortened(text(chosenScenario().needed[s]), 160)].filter(Boolean).join(', ') : 'none chosen');
}

// tipOf is what is told of a structure under the pointer.
function tipOf(s) {
  const scenario = chosenScenario(), kind = state.worst[s];
  const strings = (now, then, unit) => (known(now) && known(then) && now !== then ? `${grouped(now)} → ${grouped(then)} ${unit}` : known(now) ? `${grouped(now)} ${unit}` : '');
  const rows = [`${lines[lineOf[s]].name} · ${text(structures.number[s])}`, [scenario.site[s] ? siteOf(s) : `class ${siteOf(s)}`, known(structures.deviation[s]) ? degrees(structures.deviation[s]) : ''].filter(Boolean).join(', '),
    [strings(scenario.unitsNow[s], scenario.unitsThen[s], 'units'), strings(scenario.lengthNow[s], scenario.lengthThen[s], 'mm')].filter(Boolean).join(', ')];
  const parts = rows.filter(Boolean).map((row) => element('p', { dir: 'auto' }, shortened(row, 160)));
  if (kind < clean) parts.push(element('p', { dir: 'auto' }, glyph(kind), [states[kind], text(scenario.stop[s])].filter(Boolean).join(': ')));
  if (text(scenario.needed[s])) parts.push(element('p', { dir: 'auto' }, shortened(text(scenario.needed[s]), 200)));
  return parts;
}

// stepChange goes to the next structure of the line that needs something, or the one before.
function stepChange(by) {
  const line = lines[state.line];
  if (!line) return;
  const changed = range(line.first, line.end - 1).filter((s) => state.worst[s] < 2);
  if (!changed.length) return;
  const next = by > 0 ? changed.find((s) => s > state.structure) : changed.findLast((s) => s < (state.structure < 0 ? Infinity : state.structure));
  choose(next ?? changed[by > 0 ? 0 : changed.length - 1], { from: 'strip' });
}

// showScenario shows one scenario with its tables, and map and strip beside them.
function showScenario(index) {
  if (index === state.scenario) return;
  takeScenario(index);
  tables.forEach((table, i) => {
    table.section.hidden = i !== index;
    table.work.classList.toggle('live', i === index);
  });
  tables[index].work.prepend(byId('drawing'));
  document.querySelectorAll('.choice').forEach((link, i) => { if (i === index) link.setAttribute('aria-current', 'true'); else link.removeAttribute('aria-current'); });
  state.structure = -1;
  const own = chosenScenario().lines.map((i) => lines[i]);
  const select = byId('line');
  select.replaceChildren(...own.map((l) => element('option', { value: String(l.index) }, l.title ? `${l.name} – ${l.title}` : l.name)));
  legend(states, chosenScenario().zones ? 'Zones as the scenario has them:' : '');
  byId('shown').textContent = state.marked.map((list, kind) => (list.length ? countedState(list.length, kind) : '')).filter(Boolean).join(' · ');
  if (own.length) setLine(own[0].index);
  map.width = map.box.clientWidth; map.height = map.box.clientHeight;
  showBox(startBox(own.length ? own : lines));
  drawStrip();
  drawFacts();
  markRow();
  showCurvesOf(chosenScenario().name);
}

// Links: #s- and the name of a scenario, then /line, then /structure, percent-encoded.
const decoded = (part) => { try { return decodeURIComponent(part.replace(/\+/g, ' ')); } catch { return part; } };
const scenarioOf = (hash) => {
  const link = hash.split('/')[0];
  const exact = scenarios.findIndex((s) => s.link === link);
  return exact >= 0 ? exact : scenarios.findIndex((s) => decoded(s.link) === decoded(link));
};
const namesOf = (hash) => hash.split('/').slice(1).map((part) => { try { return decodeURIComponent(part); } catch { return part; } });

// structureOf is the structure of a link, −1 for none.
function structureOf(hash) {
  const [name, ...number] = namesOf(hash), line = lines.find((l) => l.name === name);
  for (let s = line ? line.first : 0; line && s < line.end; s++) if (text(structures.number[s]) === number.join('/')) return s;
  return -1;
}

function showLine(line) {
  state.structure = -1;
  setLine(line.index);
  showBox(wholeBox([line]));
  drawStrip(); drawFacts(); markRow();
}

// sayNotHere says of a link what of it the page does not have; nothing of one that it has.
function sayNotHere(what = '', name = '') {
  byId('not-here').replaceChildren(...(what ? [`The link asks for ${what} “`, element('bdi', null, shortened(name, 300)), '”, which is not on this page.'] : []));
  byId('not-here').hidden = !what;
}

function follow() {
  sayNotHere();
  const hash = location.hash.slice(1), index = scenarioOf(hash);
  if (index < 0) {
    if (state.scenario < 0 || !hash) showScenario(0);
    if (hash && !document.getElementById(decoded(hash))) sayNotHere('the scenario', decoded(hash.split('/')[0].replace(/^s-/, '')));
    return;
  }
  showScenario(index);
  const names = namesOf(hash), s = names.length > 1 ? structureOf(hash) : -1;
  const line = lines.find((l) => l.name === names[0] && chosenScenario().lines.includes(l.index));
  if (s >= 0) choose(s, { from: 'link' });
  else if (line) showLine(line);
  if (s >= 0 || !names.length) return;
  if (!line) sayNotHere('the line', names[0]);
  else if (names.length > 1) sayNotHere('the structure', names.slice(1).join('/'));
}

if (scenarios.length) (() => {
  byId('drawing').hidden = false;
  follow();
  onPaper((all) => { if (all) for (const row of tables[state.scenario].rows) row.hidden = false; else filterChanges(tables[state.scenario]); });
  window.addEventListener('hashchange', follow);
  byId('line').addEventListener('change', () => {
    const line = lines[Number(byId('line').value)];
    showLine(line);
    remember(`${chosenScenario().link}/${encodeURIComponent(line.name)}`);
  });
  byId('previous').addEventListener('click', () => stepChange(-1));
  byId('next').addEventListener('click', () => stepChange(1));
  document.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || /^(INPUT|SELECT|TEXTAREA)$/.test(event.target.tagName)) return;
    if (event.key === 'n') stepChange(1);
    else if (event.key === 'p') stepChange(-1);
    else if (event.key === 'l' && lines[state.line]) showBox(wholeBox([lines[state.line]]));
  });
})();
