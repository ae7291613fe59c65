
// What stands round the map and in words on it: a band with degrees, scale and north, names of lines, zones and structures.

const steps = [10, 5, 2, 1, 30 / 60, 15 / 60, 10 / 60, 5 / 60, 2 / 60, 1 / 60, 30 / 3600, 15 / 3600, 10 / 3600, 5 / 3600, 2 / 3600, 1 / 3600];
function angleText(x, step, letters) {
  const turned = Math.abs(x) > 180 && letters[0] === 'E' ? x - 360 * Math.round(x / 360) : x;
  const seconds = Math.round(Math.abs(turned) * 3600);
  let out = `${Math.floor(seconds / 3600)}°`;
  if (step < 1) out += `${String(Math.floor(seconds / 60) % 60).padStart(2, '0')}′`;
  if (step < 1 / 60) out += `${String(seconds % 60).padStart(2, '0')}″`;
  return `${out}\u2009${turned < 0 ? letters[1] : letters[0]}`;
}

// drawFrame draws what a drawing sheet has round it: a band with degrees, and below it a scale, north, and how many lines are not in view.
function drawFrame(seen) {
  const w = map.width, h = map.height, parts = [];
  parts.push(drawn('path', { class: 'frame-band', 'fill-rule': 'evenodd', d: `M-1-1H${w + 1}V${h + 1}H-1zM${edge} ${edge}V${h - foot}H${w - edge}V${edge}z` }));
  parts.push(drawn('path', { class: 'frame', d: `M${edge + 0.5} ${edge + 0.5}H${w - edge - 0.5}V${h - foot - 0.5}H${edge + 0.5}z` }));
  let ticks = '';
  const across = steps.filter((s) => s * shrink() * map.scale > 110).pop() || 10, up = steps.filter((s) => s * map.scale > 90).pop() || 10;
  for (let k = Math.ceil(lonAt(edge) / across); k * across < lonAt(w - edge); k++) {
    const x = mapX(k * across);
    ticks += `M${round(x)} ${edge}v-5M${round(x)} ${h - foot}v5`;
    if (x > edge && x < w - 76) parts.push(drawn('text', { class: 'faint', x: round(x + 4), y: h - foot + 13 }, angleText(k * across, across, 'EW')));
  }
  for (let k = Math.ceil(latAt(h - foot) / up); k * up < latAt(edge); k++) {
    const y = mapY(k * up);
    ticks += `M${edge} ${round(y)}h-5M${w - edge} ${round(y)}h5`;
    if (y > edge + 60) parts.push(drawn('text', { class: 'faint', transform: `translate(13 ${round(y - 4)}) rotate(-90)` }, angleText(k * up, up, 'NS')));
  }
  const outside = lines.filter((l) => l.box[0] <= l.box[2]).length - seen.length;
  if (outside > 0) parts.push(drawn('text', { class: 'faint end', x: w - edge, y: h - 7 }, w < 520 ? `${grouped(outside)} lines outside` : `${counted(outside, 'line lies', 'lines lie')} outside this view`));
  parts.push(drawn('path', { class: 'axis', d: ticks }), ...scaleBar(edge + 28, h - 8), ...north(edge + 6, h - 13));
  map.layers.frame.replaceChildren(...parts);
}

// scaleBar draws a round length to scale; on it and beside it there is nothing else.
function scaleBar(x, y) {
  const pixelsPerMetre = map.scale / metresPerDegree, most = Math.min(170, map.width / 4);
  let length = 10 ** Math.floor(Math.log10(most / pixelsPerMetre));
  for (const times of [5, 2]) if (length * times * pixelsPerMetre <= most) { length *= times; break; }
  const px = length * pixelsPerMetre;
  const label = length >= 1000 ? `${grouped(length / 1000)} km` : `${round(length)} m`;
  return [
    drawn('path', { class: 'scale', d: `M${x} ${y - 5}v5h${round(px)}v-5M${round(x + px / 2)} ${y}v-4` }),
    drawn('text', { x: round(x + px + 6), y: y + 2 }, label),
  ];
}

function north(x, y) {
  return [drawn('path', { class: 'scale', d: `M${x} ${y + 9}V${y - 7}M${x - 3.5} ${y - 2}L${x} ${y - 8}L${x + 3.5} ${y - 2}` }), drawn('text', { x: x + 6, y: y + 8 }, 'N')];
}

// drawWords writes names where there is room for them: first along routes, then of zones and structures, at last of places. Nothing lies on a mark or on
// another name.
function drawWords(seen) {
  const crowd = new Crowd(), parts = [], inside = (boxes) => boxes.every((b) => b[0] > edge && b[1] > edge && b[2] < map.width - edge && b[3] < map.height - foot);
  for (const group of map.groups) crowd.take(boxOf(group));
  const s = state.structure, x = s < 0 ? NaN : mapX(structures.lon[s]), y = s < 0 ? NaN : mapY(structures.lat[s]);
  if (known(x) && known(y)) crowd.take([x - 12, y - 12, x + 12, y + 12]);
  const place = (boxes) => inside(boxes) && crowd.takeFree(...boxes);
  parts.push(...routeNames(seen, place), ...(map.zones ? zoneNames(place) : []), ...structureNumbers(place));
  map.layers.words.replaceChildren(...parts);
  drawPlaces(place);
}

const mostNames = 60;
const nameOf = (line) => `${inOrder(shortened(line.name, 24))}${known(line.kv) ? ` · ${line.kv} kV` : ''}`;

// routeNames writes name and voltage along routes, the chosen line first, then those with most exceptions.
function routeNames(seen, place) {
  const out = [], of = (l) => (l.index === state.line ? Infinity : l.exceptions.reduce((sum, n) => sum + n, 0));
  const cos = shrink() * map.scale;
  const long = seen.filter((l) => Math.hypot((l.box[2] - l.box[0]) * cos, (l.box[3] - l.box[1]) * map.scale) > textWidth(nameOf(l)) + 16);
  for (const l of long.sort((a, b) => of(b) - of(a) || a.index - b.index)) {
    if (out.length >= mostNames) break;
    const label = nameOf(l), width = textWidth(label);
    const at = inStretches(onSheet(courseOf(l))).flatMap((points) => alongCourse(points, width + 12)).flatMap((c) => {
      const turned = (c.angle * Math.PI) / 180;
      return [9, -9].map((off) => ({ ...c, x: c.x + off * Math.sin(turned), y: c.y - off * Math.cos(turned) }));
    }).find((c) => place(tiltedBoxes(c, width)));
    if (at) out.push(drawn('text', { class: 'halo middle line-name', transform: `translate(${round(at.x)} ${round(at.y)}) rotate(${round(at.angle)})`, y: 4 }, label));
  }
  return out;
}

// inStretches parts the points of a course where it is broken or leaves the map.
function inStretches(points) {
  const out = [[]];
  for (const p of points) {
    const inside = p[0] > edge && p[0] < map.width - edge && p[1] > edge && p[1] < map.height - foot;
    if ((!p[2] || !inside) && out[out.length - 1].length) out.push([]);
    if (inside) out[out.length - 1].push(p);
  }
  return out.filter((stretch) => stretch.length > 1);
}

// structureNumbers numbers structures once there is room for that too.
function structureNumbers(place) {
  const out = [];
  if (map.scale / metresPerDegree <= 0.18) return out;
  for (const s of map.standing) {
    if (out.length >= 250) break;
    const x = mapX(structures.lon[s]) + 9, y = mapY(structures.lat[s]) - 6, number = shortened(text(structures.number[s]), 14);
    if (place([[x, y - 9, x + textWidth(number), y + 2]])) out.push(drawn('text', { class: 'halo', x: round(x), y: round(y) }, number));
  }
  return out;
}
