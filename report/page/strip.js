
// The strip: one line laid out along its chainage, in lanes that share the axis.

const strip = { svg: byId('strip-svg'), box: byId('strip'), from: 0, to: 1, width: 0, height: 0, lanes: {} };
const gutter = 96, rightEdge = 14;

(() => {
  const layer = (name, attributes) => (strip.lanes[name] = drawn('path', attributes));
  strip.svg.append(
    drawn('defs', null, ...hatchPatterns('strip'), drawn('clipPath', { id: 'strip-clip' }, (strip.clip = drawn('rect', { x: gutter, y: 0, width: 1, height: 1 })))),
    (strip.lanes.back = drawn('g')),
    drawn('g', { 'clip-path': 'url(#strip-clip)' },
      (strip.lanes.bands = drawn('g')),
      layer('ground', { class: 'ground' }), layer('posts', { class: 'axis' }),
      layer('sections', { class: 'section-bar' }), layer('missing', { class: 'missing' }), layer('limits', { class: 'limit-line' }),
      layer('held', { class: 'held' }), layer('turn', { class: 'turn' }), layer('over', { class: 'turn over' }),
      layer('lack', { class: 'lack' }), layer('need', { class: 'need' }), layer('have', { class: 'have' }),
      ...markAt.map((_, kind) => layer(`mark${kind}`, { class: `mark mark-${kind}` })).reverse(),
      layer('hover', { class: 'hover' }), layer('cursor', { class: 'cursor' })),
    (strip.lanes.words = drawn('g')),
  );
})();

const stripX = (chainage) => gutter + ((chainage - strip.from) / (strip.to - strip.from)) * (strip.width - gutter - rightEdge);
const chainageAt = (x) => strip.from + ((x - gutter) / (strip.width - gutter - rightEdge)) * (strip.to - strip.from);

function wholeStrip() {
  const line = lines[state.line];
  if (!line) return;
  const length = line.end > line.first ? structures.chainage[line.end - 1] : line.length;
  strip.from = 0;
  strip.to = known(length) && length > 0 ? length : 1;
  const pad = (strip.to - strip.from) * 0.006;
  strip.from -= pad; strip.to += pad;
  strip.least = strip.from; strip.most = strip.to;
}

// stretchStrip shows more or less of the line, about a chainage, else about the chosen structure where it is on the strip.
function stretchStrip(factor, about = state.structure >= 0 ? structures.chainage[state.structure] : NaN) {
  const middle = known(about) && about >= strip.from && about <= strip.to ? about : (strip.from + strip.to) / 2;
  const span = Math.min(Math.max((strip.to - strip.from) / factor, 200), strip.most - strip.least);
  strip.from = middle - span * ((middle - strip.from) / (strip.to - strip.from));
  strip.to = strip.from + span;
  keepStrip();
  drawStrip();
}

function keepStrip() {
  const span = strip.to - strip.from;
  if (strip.from < strip.least) { strip.from = strip.least; strip.to = strip.from + span; }
  if (strip.to > strip.most) { strip.to = strip.most; strip.from = strip.to - span; }
}

function stripToStructure(s) {
  const at = structures.chainage[s], span = strip.to - strip.from;
  if (!known(at)) return;
  if (at < strip.from + 0.02 * span || at > strip.to - 0.02 * span) { strip.from = at - span / 2; strip.to = at + span / 2; keepStrip(); }
}

let stripWanted = false;
function drawStrip() {
  if (stripWanted) return;
  stripWanted = true;
  requestAnimationFrame(() => { stripWanted = false; drawStripNow(); });
}

function drawStripNow(width = strip.box.clientWidth, height = strip.box.clientHeight) {
  const line = lines[state.line];
  strip.width = width; strip.height = height;
  if (!line || !strip.width) return;
  strip.svg.setAttribute('viewBox', `0 0 ${strip.width} ${strip.height}`);
  strip.clip.setAttribute('x', gutter - 7);
  strip.clip.setAttribute('width', Math.max(1, strip.width - gutter - rightEdge + 14));
  strip.clip.setAttribute('height', strip.height);
  const at = {};
  let y = 2;
  const back = [], words = [];
  for (const [name, height, title] of lanesOf(line)) {
    at[name] = [y, y + height];
    y += height;
    back.push(drawn('path', { class: 'hairline', d: `M0 ${y + 0.5}H${strip.width}` }));
    words.push(drawn('text', { class: 'faint', x: 8, y: height > 40 ? y - height + 14 : y - height / 2 + 4 }, title));
  }
  strip.box.style.height = `${y + axisHeight}px`;
  strip.lanes.back.replaceChildren(...back);
  const visible = [];
  let first = -1, last = -1;
  for (let s = line.first; s < line.end; s++) {
    if (structures.chainage[s] >= strip.from && structures.chainage[s] <= strip.to) { if (first < 0) first = s; last = s; visible.push(s); }
  }
  const before = Math.max(line.first, first - 1), after = first < 0 ? -1 : Math.min(line.end - 1, last + 1);
  drawLanes({ visible, before, after, all: first < 0 ? [] : range(before, after), at, words });
  drawAxis(y, words);
  if (line.end === line.first) words.push(drawn('text', { class: 'faint', x: gutter + 10, y: 44 }, fitted('no structure of this line is on this page')));
  strip.lanes.words.replaceChildren(...withRoom(words));
  drawCursors(y);
}

// lanesOf are the lanes of a line: those that have something to show where their fourth entry says so.
const lanesOf = (line) => laneList.filter(([, , , shown]) => !shown || shown(line));
const lanesHeight = (line) => 2 + lanesOf(line).reduce((sum, [, height]) => sum + height, 0);
const axisHeight = 28;

// fitted is a text beside the gutter, with an ellipsis where the strip ends before it does.
const fitted = (t) => shortened(t, Math.max(8, Math.floor((strip.width - gutter - rightEdge - 12) / 6.6)));

// wordBox is the box of a text as it is written.
function wordBox(word) {
  const of = (name) => word.getAttribute(name) || '', x = Number(of('x')), y = Number(of('y')), width = textWidth(word.textContent), kind = of('class').split(' ');
  const left = kind.includes('end') ? x - width : kind.includes('middle') ? x - width / 2 : x;
  return [left, y - 9, left + width, y + 2];
}

// withRoom leaves of words those that lie on no other; the first go before the later ones.
function withRoom(words) {
  const crowd = new Crowd();
  return words.filter((word) => word.tagName !== 'text' || crowd.takeFree(wordBox(word)));
}

const range = (from, to) => Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i);

// drawSites draws the class in force, structure by structure, as bands that meet half-way.
function drawSites(first, last, [top, bottom], words) {
  const bands = [];
  for (let s = first; s >= 0 && s <= last;) {
    let end = s;
    while (end < last && structures.class[end + 1] === structures.class[s] && structures.zone[end + 1] === structures.zone[s]) end++;
    const from = s === first ? structures.chainage[s] : (structures.chainage[s - 1] + structures.chainage[s]) / 2;
    const to = end === last ? structures.chainage[end] : (structures.chainage[end] + structures.chainage[end + 1]) / 2;
    const x0 = Math.max(gutter, stripX(from)), x1 = Math.min(strip.width - rightEdge, Math.max(stripX(to), x0 + 2));
    if (x1 > x0) {
      const d = `M${round(x0)} ${top + 2}H${round(x1)}V${bottom - 1}H${round(x0)}z`;
      bands.push(drawn('path', { class: `zone tint-${structures.class[s]}`, d }));
      if (hatches[structures.class[s]]) bands.push(drawn('path', { class: 'zone', d, fill: `url(#strip-${hatches[structures.class[s]]})` }));
      const zone = zones[structures.zone[s]];
      const label = zone && zone.label ? `${siteOf(s)}, ${zone.label}` : siteOf(s);
      const fits = [label, siteOf(s)].find((t) => x1 - x0 > 6.4 * t.length + 6);
      if (fits) words.push(drawn('text', { class: 'halo middle', x: round((x0 + x1) / 2), y: top + 15 }, fits));
    }
    s = end + 1;
  }
  strip.lanes.bands.replaceChildren(...bands);
}

function niceLevels(from, to, wanted) {
  const raw = (to - from) / wanted || 1;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((n) => n * power).find((n) => n >= raw);
  const out = [];
  for (let k = Math.ceil(from / step); k * step <= to; k++) out.push(k * step);
  return out;
}

// drawGround draws the ground with the structures on it, those that need tension as squares.
function drawGround(all, visible, [top, bottom], words) {
  const levels = all.map((s) => structures.ground[s]).filter(known);
  let d = '', posts = '', held = '';
  if (levels.length) {
    let low = levels[0], high = levels[0];
    for (const l of levels) { low = Math.min(low, l); high = Math.max(high, l); }
    const span = Math.max(high - low, 20);
    const y = (level) => round(bottom - 6 - ((level - low) / span) * (bottom - top - 24));
    let open = false;
    for (const s of all) {
      if (!known(structures.ground[s])) continue;
      const x = round(stripX(structures.chainage[s]));
      d += open ? `L${x} ${y(structures.ground[s])}` : `M${x} ${bottom}V${y(structures.ground[s])}`;
      open = true;
    }
    d += `V${bottom}z`;
    const crowded = visible.length * 5 > strip.width - gutter;
    for (const s of visible) {
      if (!known(structures.ground[s])) continue;
      const x = round(stripX(structures.chainage[s])), foot = y(structures.ground[s]);
      if (structures.requires[s] === 2) { posts += `M${x} ${foot}v-6`; held += `M${round(x - 2.2)} ${round(foot - 10.4)}h4.4v4.4h-4.4z`; }
      else if (!crowded) posts += `M${x} ${foot}v-8`;
    }
    words.push(drawn('text', { class: 'faint end', x: gutter - 8, y: top + 27 }, `${grouped(high)} m`), drawn('text', { class: 'faint end', x: gutter - 8, y: bottom - 5 }, `${grouped(low)} m`));
  } else words.push(drawn('text', { class: 'faint', x: gutter + 10, y: (top + bottom) / 2 + 4 }, 'ground levels not known'));
  strip.lanes.ground.setAttribute('d', d);
  strip.lanes.posts.setAttribute('d', posts);
  strip.lanes.held.setAttribute('d', held);
}

function drawStripMarks(visible, [top, bottom]) {
  const paths = markAt.map(() => ''), y = (top + bottom) / 2 + 1;
  const ends = markAt.map(() => -9);
  for (let kind = clean - 1; kind >= 0; kind--) {
    for (const s of visible) {
      const x = stripX(structures.chainage[s]);
      if (state.worst[s] !== kind || x - ends[kind] < 3) continue;
      ends[kind] = x;
      paths[kind] += markAt[kind](round(x), y);
    }
  }
  paths.forEach((d, kind) => strip.lanes[`mark${kind}`].setAttribute('d', d));
}

function drawAxis(y, words) {
  let d = `M${gutter} ${y + 0.5}H${strip.width - rightEdge}`;
  for (const m of niceLevels(Math.max(0, strip.from), strip.to, Math.max(2, (strip.width - gutter) / 110))) {
    const x = round(stripX(m));
    d += `M${x} ${y}v5`;
    if (x < strip.width - 40) words.push(drawn('text', { class: 'faint middle', x, y: y + 18 }, `${Number((m / 1000).toFixed(3))}`));
  }
  words.push(drawn('path', { class: 'axis', d }), drawn('text', { class: 'faint', x: 8, y: y + 18 }, 'chainage km'));
}

function drawCursors(bottom) {
  const at = (s) => (s >= 0 && lineOf[s] === state.line && known(structures.chainage[s]) ? `M${round(stripX(structures.chainage[s]))} 0V${bottom}` : '');
  strip.lanes.cursor.setAttribute('d', at(state.structure));
  strip.lanes.hover.setAttribute('d', state.hover === state.structure ? '' : at(state.hover));
}

function drawStripCursors() {
  if (!lines[state.line]) return;
  drawCursors(lanesHeight(lines[state.line]));
}

function structureAtChainage(chainage) {
  const line = lines[state.line];
  let best = -1;
  for (let s = line ? line.first : 0; line && s < line.end; s++) {
    if (best < 0 || Math.abs(structures.chainage[s] - chainage) < Math.abs(structures.chainage[best] - chainage)) best = s;
  }
  return best;
}

// Steps from structure to structure, within the line.
function stepStructure(by, absolute) {
  const line = lines[state.line];
  if (!line || line.end === line.first) return;
  const now = state.structure >= line.first && state.structure < line.end ? state.structure : line.first - Math.sign(by || 1);
  choose(Math.min(Math.max(absolute === undefined ? now + by : absolute, line.first), line.end - 1), { from: 'strip' });
}

(() => {
  const xOf = (event) => event.clientX - strip.box.getBoundingClientRect().left - strip.box.clientLeft;
  let from = null, moved = false;
  const fingers = new Map();
  twoFingers(strip.box);
  strip.box.addEventListener('wheel', (event) => {
    event.preventDefault();
    stretchStrip(wheelFactor(event), chainageAt(xOf(event)));
  }, { passive: false });
  strip.box.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    fingers.set(event.pointerId, xOf(event));
    from = xOf(event); moved = false;
    strip.box.setPointerCapture(event.pointerId);
    strip.box.focus({ preventScroll: true });
  });
  strip.box.addEventListener('pointermove', (event) => {
    const x = xOf(event);
    if (from === null) { hoverOver(x < gutter - 4 ? -1 : structureAtChainage(chainageAt(x)), event); return; }
    if (fingers.size === 2 && fingers.has(event.pointerId)) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)[1], { factor, to } = pinched([fingers.get(event.pointerId), 0], [other, 0], [x, 0], [other, 0]);
      fingers.set(event.pointerId, x);
      moved = true;
      stretchStrip(factor, chainageAt(to[0]));
      return;
    }
    if (!moved && Math.abs(x - from) < 4) return;
    moved = true;
    const shift = chainageAt(from) - chainageAt(x);
    strip.from += shift; strip.to += shift; from = x;
    keepStrip();
    drawStrip();
  });
  strip.box.addEventListener('pointerup', (event) => {
    fingers.delete(event.pointerId);
    if (from !== null && !moved && xOf(event) >= gutter - 4) {
      const s = structureAtChainage(chainageAt(xOf(event)));
      if (s >= 0) choose(s, { from: 'strip' });
    }
    from = null;
  });
  strip.box.addEventListener('pointercancel', (event) => { fingers.delete(event.pointerId); from = null; });
  strip.box.addEventListener('pointerleave', () => hoverOver(-1));
  const keys = {
    ArrowRight: () => stepStructure(1), ArrowLeft: () => stepStructure(-1), ArrowUp: () => stepStructure(1), ArrowDown: () => stepStructure(-1),
    PageUp: () => stepStructure(10), PageDown: () => stepStructure(-10),
    Home: () => stepStructure(0, lines[state.line].first), End: () => stepStructure(0, lines[state.line].end - 1),
    '+': () => stretchStrip(1.6), '=': () => stretchStrip(1.6), '-': () => stretchStrip(1 / 1.6), 0: () => { wholeStrip(); drawStrip(); },
  };
  strip.box.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key] || !lines[state.line]) return;
    event.preventDefault();
    keys[event.key]();
  });
  byId('strip-in').addEventListener('click', () => stretchStrip(1.8));
  byId('strip-out').addEventListener('click', () => stretchStrip(1 / 1.8));
})();
