// The lanes of the strip of a scenario: what stops it, the class, units and length of a string today and needed, the ground.

const laneList = [['marks', 24, 'changes'], ['stop', 22, 'stopped by'], ['site', 20, 'class then'], ['units', 70, 'units'], ['length', 84, 'length'], ['ground', 50, 'ground']];

function drawLanes({ visible, before, after, all, at, words }) {
  const scenario = chosenScenario();
  drawSites(before, after, at.site, words);
  drawStops(before, after, at.stop, words);
  const units = hasAndNeeds(visible, at.units, words, { has: scenario.unitsNow, needs: scenario.unitsThen, measure: '', levels: 2 });
  if (!units) words.push(drawn('text', { class: 'faint', x: gutter + 10, y: (at.units[0] + at.units[1]) / 2 + 4 }, 'not known'));
  const longest = visible.reduce((most, s) => Math.max(most, scenario.longest[s] || 0), 0);
  const length = hasAndNeeds(visible, at.length, words, { has: scenario.lengthNow, needs: scenario.lengthThen, measure: 'mm', most: longest * 1.2, key: false });
  if (!length) words.push(drawn('text', { class: 'faint', x: gutter + 10, y: (at.length[0] + at.length[1]) / 2 + 4 }, 'not known'));
  else if (longest > 0) {
    const y = length.y(longest);
    words.push(drawn('path', { class: 'limit', d: `M${gutter} ${y}H${strip.width - rightEdge}` }), drawn('text', { class: 'halo end', x: strip.width - rightEdge - 4, y: y - 4 }, `longest allowed ${grouped(longest)} mm`));
  }
  drawHasAndNeeds([units, length]);
  drawGround(all, visible, at.ground, words);
  drawStripMarks(visible, at.marks);
}

// drawStops draws where no remedy serves as bands that meet half-way, with the limit where there is room for it.
function drawStops(first, last, [top, bottom], words) {
  const scenario = chosenScenario();
  const bands = [];
  const half = (a, b) => (a < first || b > last ? structures.chainage[a < first ? b : a] : (structures.chainage[a] + structures.chainage[b]) / 2);
  for (let s = first; s >= 0 && s <= last; s++) {
    if (!scenario.stop[s]) continue;
    let end = s;
    while (end < last && scenario.stop[end + 1] === scenario.stop[s]) end++;
    const x0 = Math.max(gutter, stripX(half(s - 1, s))), x1 = Math.min(strip.width - rightEdge, Math.max(stripX(half(end, end + 1)), x0 + 3));
    if (x1 > x0) {
      bands.push(drawn('path', { class: 'stopped-band', d: `M${round(x0)} ${top + 2}H${round(x1)}V${bottom - 2}H${round(x0)}z` }));
      const label = text(scenario.stop[s]);
      if (x1 - x0 > 6.2 * label.length + 6) words.push(drawn('text', { class: 'halo middle', x: round((x0 + x1) / 2), y: top + 15 }, label));
    }
    s = end;
  }
  strip.lanes.bands.append(...bands);
}

// hasAndNeeds draws on a scale of a lane what each structure needs as a step and what it has as a bar, and the lack between; the paths are
// those of the layers.
function hasAndNeeds(visible, [top, bottom], words, { has, needs, measure, most = 0, levels = 3, key = true }) {
  let need = '', have = '', lack = '', lastY = NaN;
  for (const s of visible) most = Math.max(most, needs[s] || 0, has[s] || 0);
  if (!(most > 0)) return null;
  const y = (amount) => round(bottom - 3 - (amount / (most * 1.08)) * (bottom - top - 8));
  visible.forEach((s, i) => {
    const at = structures.chainage[s];
    const left = stripX(i ? (structures.chainage[visible[i - 1]] + at) / 2 : at - 1), right = stripX(i + 1 < visible.length ? (at + structures.chainage[visible[i + 1]]) / 2 : at + 1);
    const x = round(stripX(at)), half = Math.min(5, Math.max(0.7, (right - left) * 0.3));
    if (known(has[s])) have += `M${round(x - half)} ${y(has[s])}h${round(2 * half)}`;
    if (known(has[s]) && known(needs[s]) && has[s] < needs[s] - 0.5) lack += `M${x} ${y(has[s])}V${y(needs[s])}`;
    if (known(needs[s])) {
      need += lastY === y(needs[s]) ? `H${round(right)}` : `${known(lastY) ? 'L' : 'M'}${round(left)} ${y(needs[s])}H${round(right)}`;
      lastY = y(needs[s]);
    } else lastY = NaN;
  });
  for (const level of niceLevels(0, most, levels)) {
    if (level > 0) words.push(drawn('text', { class: 'faint end', x: gutter - 8, y: y(level) + 4 }, `${grouped(level)}`), drawn('path', { class: 'axis', d: `M${gutter - 5} ${y(level)}h4` }));
  }
  if (measure) words.push(drawn('text', { class: 'faint', x: 8, y: top + 28 }, measure));
  if (key) words.push(drawn('path', { class: 'need', d: `M8 ${bottom - 27}h12` }), drawn('text', { class: 'faint', x: 24, y: bottom - 23 }, 'needs'),
    drawn('path', { class: 'have', d: `M9 ${bottom - 12}h10` }), drawn('text', { class: 'faint', x: 24, y: bottom - 8 }, 'has'));
  return { need, have, lack, y };
}

function drawHasAndNeeds(scales) {
  for (const layer of ['need', 'have', 'lack']) strip.lanes[layer].setAttribute('d', scales.map((scale) => (scale ? scale[layer] : '')).join(''));
}
