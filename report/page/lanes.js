// The lanes of the strip of an audit.

const some = (column) => (line) => { for (let s = line.first; s < line.end; s++) if (column(s)) return true; return false; };
const laneList = [['marks', 26, 'exceptions'], ['site', 20, 'zone class'], ['turn', 46, 'deviation'], ['creep', 92, 'creepage'],
  ['missing', 32, 'units missing', some((s) => structures.missing[s] > 0)], ['cross', 22, 'crossings', some((s) => structures.crosses[s] > 0)],
  ['section', 22, 'sections', some((s) => holdsTension(s))], ['ground', 52, 'ground'], ['number', 18, 'structure']];

function drawLanes({ visible, before, after, all, at, words }) {
  drawSites(before, after, at.site, words);
  drawTurns(visible, at.turn, words);
  drawCreepage(visible, at.creep, words);
  drawMissing(at.missing ? visible : [], at.missing || [0, 0], words);
  if (at.cross) drawCrossings(visible, at.cross, words);
  drawSections(at.section ? all : [], at.section || [0, 0], words);
  drawGround(all, visible, at.ground, words);
  drawNumbers(visible, at.number, words);
  drawStripMarks(visible, at.marks);
}

// drawTurns draws deviations, up for right and down for left, heavy beyond the limit, and the limit as a line on both sides.
function drawTurns(visible, [top, bottom], words) {
  const middle = (top + bottom) / 2, tall = (deviation) => Math.min(1, Math.sqrt(Math.abs(deviation) / 90)) * 18;
  let turn = `M${gutter} ${middle}H${strip.width - rightEdge}`, over = '';
  const limit = ['', ''];
  let last = NaN;
  for (const s of visible) {
    const x = round(stripX(structures.chainage[s])), deviation = structures.deviation[s], bound = structures.limit[s];
    if (known(bound)) [1, -1].forEach((side, i) => { limit[i] += `${known(last) ? 'L' : 'M'}${x} ${round(middle - side * tall(bound))}`; });
    last = bound;
    if (known(deviation) && Math.abs(deviation) >= 0.3) {
      const up = Math.sign(deviation) * Math.max(2, tall(deviation));
      if (Math.abs(deviation) > bound) over += `M${x} ${middle}V${round(middle - up)}`; else turn += `M${x} ${middle}V${round(middle - up)}`;
    }
  }
  strip.lanes.turn.setAttribute('d', turn);
  strip.lanes.over.setAttribute('d', over);
  strip.lanes.limits.setAttribute('d', limit.join(''));
  const bounds = visible.map((s) => structures.limit[s]).filter((x) => known(x));
  words.push(drawn('text', { class: 'faint', x: 8, y: bottom - 5 }, 'up: to the right'));
  if (bounds.length) words.push(drawn('text', { class: 'faint', x: 8, y: top + 27 }, `limit ${Number(Math.min(...bounds).toFixed(2))}°`));
}

// shareAxis is from where to where the lane of has over needs goes, in per cent about 100: low enough for the least, and never so wide that a
// lack of 5 % is not seen.
function shareAxis(least) {
  const low = [90, 80, 60, 40].find((level) => least >= level + 1) ?? 0;
  return [low, 100 + Math.max(5, 0.2 * (100 - low))];
}

const shareOf = (s) => (100 * structures.installed[s]) / structures.required[s];

// columnsOf takes of a figure the worst of what stands in one column of pixels, so that none of it is hidden by what stands beside it.
function columnsOf(visible, figure, worse) {
  const columns = new Map();
  for (const s of visible) {
    const x = Math.round(stripX(structures.chainage[s])), y = figure(s);
    if (known(y) && known(x) && (!columns.has(x) || worse(y, columns.get(x)))) columns.set(x, y);
  }
  return columns;
}

// drawCreepage draws what the worst string of each structure has, in per cent of what it needs, and what lacks from 100 down.
function drawCreepage(visible, [top, bottom], words) {
  const shares = columnsOf(visible, shareOf, (a, b) => a < b);
  let have = '', lack = '', need = '';
  if (shares.size) {
    const [low, high] = shareAxis(Math.min(...shares.values())), y = (share) => round(bottom - 4 - ((Math.min(share, high) - low) / (high - low)) * (bottom - top - 12));
    const half = Math.min(5, Math.max(0.7, ((strip.width - gutter) / visible.length) * 0.3));
    need = `M${gutter} ${y(100)}H${strip.width - rightEdge}`;
    for (const [x, share] of shares) {
      have += `M${round(x - half)} ${y(share)}h${round(2 * half)}`;
      if (share < 100 - 1e-6) lack += `M${x} ${y(share)}V${y(100)}`;
    }
    for (const level of [100, low, 95, (100 + low) / 2]) {
      words.push(drawn('text', { class: 'faint end', x: gutter - 8, y: y(level) + 4 }, `${level}\u2009%`), drawn('path', { class: 'axis', d: `M${gutter - 5} ${y(level)}h4` }));
    }
    words.push(drawn('text', { class: 'faint', x: 8, y: top + 27 }, 'has in %'), drawn('text', { class: 'faint', x: 8, y: top + 40 }, 'of needs'));
  } else {
    const why = visible.length ? text(structures.why[visible[0]]) : '';
    words.push(drawn('text', { class: 'faint', x: gutter + 10, y: (top + bottom) / 2 + 4 }, fitted(why ? `not assessed: ${why}` : 'not assessed'))); // the facts have all of it
  }
  strip.lanes.need.setAttribute('d', need);
  strip.lanes.have.setAttribute('d', have);
  strip.lanes.lack.setAttribute('d', lack);
}

// drawMissing draws how many units the worst string lacks for its creepage as bars with their number.
function drawMissing(visible, [, bottom], words) {
  let d = '';
  const missing = columnsOf(visible.filter((s) => structures.missing[s] > 0), (s) => structures.missing[s], (a, b) => a > b), most = Math.max(1, ...missing.values());
  for (const [x, n] of missing) {
    const tall = round(4 + 12 * (n / most));
    d += `M${round(x - 2.5)} ${bottom - 1}v${-tall}h5v${tall}z`;
    words.push(drawn('text', { class: 'middle', x, y: round(bottom - tall - 4) }, String(n)));
  }
  strip.lanes.missing.setAttribute('d', d);
}

const holdsTension = (s) => (structures.hangs[s] > 0 ? structures.hangs[s] >= 2 : structures.requires[s] === 2);
const wholeLine = (line) => line.end - line.first === line.of;

// drawCrossings marks the spans that cross something, with what, in the middle of the span.
function drawCrossings(visible, [top, bottom], words) {
  const line = lines[state.line];
  let d = '';
  for (const s of visible) {
    if (!structures.crosses[s]) continue;
    const next = s + 1 < line.end && wholeLine(line) ? structures.chainage[s + 1] : NaN;
    const x = round(stripX(known(next) ? (structures.chainage[s] + next) / 2 : structures.chainage[s])), what = text(structures.crosses[s]);
    d += `M${x - 2.5} ${top + 3}l5 ${bottom - top - 6}m0 ${-(bottom - top - 6)}l-5 ${bottom - top - 6}`;
    if (x + 6 + textWidth(what) < strip.width) words.push(drawn('text', { class: 'faint', x: x + 6, y: (top + bottom) / 2 + 4 }, what));
  }
  words.push(drawn('path', { class: 'axis', d }));
}

// drawSections draws the stretches from one structure that holds the conductor in tension to the next, with their length.
function drawSections(all, [top, bottom], words) {
  const middle = (top + bottom) / 2, line = lines[state.line];
  let d = '', last = -1;
  if (all.length && !wholeLine(line)) words.push(drawn('text', { class: 'faint', x: gutter + 10, y: middle + 4 }, 'not all structures of the line are on this page'));
  for (const s of wholeLine(line) ? range(line.first, line.end - 1) : []) {
    if (!all.length || !holdsTension(s) || !known(structures.chainage[s])) continue;
    if (last >= 0) {
      const x0 = stripX(structures.chainage[last]), x1 = stripX(structures.chainage[s]);
      if (x1 > gutter && x0 < strip.width - rightEdge) {
        d += `M${round(x0)} ${top + 4}V${bottom - 4}M${round(x0)} ${middle}H${round(x1)}M${round(x1)} ${top + 4}V${bottom - 4}`;
        const label = `${((structures.chainage[s] - structures.chainage[last]) / 1000).toFixed(2)} km`, seen = [Math.max(x0, gutter), Math.min(x1, strip.width - rightEdge)];
        if (seen[1] - seen[0] > textWidth(label) + 12) words.push(drawn('text', { class: 'halo faint middle', x: round((seen[0] + seen[1]) / 2), y: middle + 4 }, label));
      }
    }
    last = s;
  }
  strip.lanes.sections.setAttribute('d', d);
}

// drawNumbers writes the numbers of structures where there is room, the chosen one first.
function drawNumbers(visible, [top], words) {
  const order = visible.includes(state.structure) ? [state.structure, ...visible] : visible, crowd = new Crowd();
  for (const s of order) {
    const x = round(stripX(structures.chainage[s])), number = shortened(text(structures.number[s]), 12), half = textWidth(number) / 2;
    if (x - half > gutter - 4 && x + half < strip.width && crowd.takeFree([x - half - 3, 0, x + half + 3, 9])) words.push(drawn('text', { class: 'faint middle', x, y: top + 12 }, number));
  }
}
