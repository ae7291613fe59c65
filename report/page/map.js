
// The route map: a plane around the middle of the view, degrees of longitude shortened by the cosine of its latitude.

const map = { svg: byId('map-svg'), box: byId('map'), lon: 0, lat: 0, scale: 1, width: 0, height: 0, layers: {} };
const metresPerDegree = 111320;
const edge = 18; // of the frame

(() => {
  const layer = (name, attributes) => (map.layers[name] = drawn('path', attributes));
  map.svg.append(
    drawn('defs', null, ...hatchPatterns('map')),
    (map.layers.zones = drawn('g')),
    layer('stretch', { class: 'route stretch' }), layer('aside', { class: 'route aside' }), layer('routes', { class: 'route' }),
    layer('chosen', { class: 'route chosen-line' }), layer('hung', { class: 'hung' }), layer('held', { class: 'held' }),
    ...markAt.map((_, kind) => layer(`mark${kind}`, { class: `mark mark-${kind}` })).reverse(),
    layer('hover', { class: 'ring' }), layer('ring', { class: 'ring' }),
    (map.layers.words = drawn('g')), (map.layers.frame = drawn('g')),
  );
})();

const shrink = () => Math.max(0.01, Math.cos((map.lat * Math.PI) / 180));
const mapX = (lon) => map.width / 2 + (lon - map.lon) * shrink() * map.scale;
const mapY = (lat) => map.height / 2 - (lat - map.lat) * map.scale;
const lonAt = (x) => map.lon + (x - map.width / 2) / (shrink() * map.scale);
const latAt = (y) => map.lat - (y - map.height / 2) / map.scale;
const limits = { least: 1, most: metresPerDegree / 0.08 };

function wholeBox(of = lines) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const l of of) {
    box[0] = Math.min(box[0], l.box[0]); box[1] = Math.min(box[1], l.box[1]);
    box[2] = Math.max(box[2], l.box[2]); box[3] = Math.max(box[3], l.box[3]);
  }
  return box[0] <= box[2] ? box : [0, 0, 0, 0];
}

function showBox(box) {
  const inset = 2 * (edge + 22);
  map.lon = (box[0] + box[2]) / 2;
  map.lat = (box[1] + box[3]) / 2;
  const across = Math.max((box[2] - box[0]) * shrink(), 0.004), up = Math.max(box[3] - box[1], 0.004);
  setScale(Math.min((map.width - inset) / across, (map.height - inset) / up));
  drawMap();
}

function setScale(scale) { map.scale = Math.min(Math.max(scale, limits.least), limits.most); }

// zoomAt keeps the place at a point of the map where it is.
function zoomAt(factor, x = map.width / 2, y = map.height / 2) {
  const lon = lonAt(x), lat = latAt(y);
  setScale(map.scale * factor);
  map.lat = lat + (y - map.height / 2) / map.scale;
  map.lon = lon - (x - map.width / 2) / (shrink() * map.scale);
  drawMap();
}

function moveMap(dx, dy) {
  map.lon -= dx / (shrink() * map.scale);
  map.lat = Math.min(Math.max(map.lat + dy / map.scale, -89), 89);
  drawMap();
}

// routePath is the course of a line: what lies outside the view is left out, and so is what lies on a point already drawn.
function routePath(line, from = line.first, to = line.end - 1) {
  const low = -60, right = map.width + 60, bottom = map.height + 60;
  const cos = shrink() * map.scale, x0 = map.width / 2 - map.lon * cos, y0 = map.height / 2 + map.lat * map.scale;
  let d = '', x = NaN, y = NaN, px = NaN, py = NaN, open = false;
  const step = (s, joinedUp) => {
    px = x; py = y;
    x = structures.lon[s] * cos + x0; y = y0 - structures.lat[s] * map.scale;
    const away = !joinedUp || !(px === px) || !(x === x) || (x < low && px < low) || (x > right && px > right) || (y < low && py < low) || (y > bottom && py > bottom);
    if (away) { open = false; return; }
    if (!open) { d += `M${round(px)} ${round(py)}`; open = true; step.x = px; step.y = py; }
    if (Math.abs(x - step.x) + Math.abs(y - step.y) < 1.2 && s !== to) return;
    d += `L${round(x)} ${round(y)}`;
    step.x = x; step.y = y;
  };
  for (let s = from; s <= to; s++) step(s, s > from && structures.ahead[s - 1] === 1);
  if (line.closed && from === line.first && to === line.end - 1) step(from, true);
  return d;
}

const inView = (box) => box[0] <= lonAt(map.width + 60) && box[2] >= lonAt(-60) && box[1] <= latAt(-60) && box[3] >= latAt(map.height + 60);

let mapWanted = false;
function drawMap() {
  if (mapWanted) return;
  mapWanted = true;
  requestAnimationFrame(() => { mapWanted = false; drawMapNow(); });
}

// drawMapNow draws at the size the map has on the screen, or has to have on paper.
function drawMapNow(width = map.box.clientWidth, height = map.box.clientHeight) {
  if (!width) return;
  map.width = width; map.height = height;
  map.svg.setAttribute('viewBox', `0 0 ${map.width} ${map.height}`);
  drawZones();
  let routes = '', aside = '';
  const seen = lines.filter((l) => inView(l.box));
  for (const l of seen) {
    if (l.assessed) routes += routePath(l); else aside += routePath(l);
  }
  map.layers.routes.setAttribute('d', routes);
  map.layers.aside.setAttribute('d', aside);
  const chosen = lines[state.line];
  map.layers.chosen.setAttribute('d', chosen && inView(chosen.box) ? routePath(chosen) : '');
  map.layers.stretch.setAttribute('d', stretchPath());
  drawStructures(seen);
  drawMarks();
  drawRing('ring', state.structure, 10);
  drawRing('hover', state.hover, 8);
  drawFrame();
}

function drawZones() {
  const box = [-40, -40, map.width + 40, map.height + 40], sheet = [edge, edge, map.width - edge, map.height - edge];
  const parts = [], shapes = [];
  for (const z of zones) {
    if (!inView(z.box)) continue;
    const rings = [];
    let d = '';
    for (const flat of z.rings) {
      const ring = [];
      let lastX = NaN, lastY = NaN;
      for (let i = 0; i < flat.length; i += 2) {
        const x = mapX(flat[i]), y = mapY(flat[i + 1]);
        if (Math.abs(x - lastX) + Math.abs(y - lastY) < 1) continue;
        ring.push([x, y]);
        lastX = x; lastY = y;
      }
      const clipped = clipRing(ring, box);
      if (clipped.length < 3) continue;
      rings.push(clipped);
      d += ringPath(clipped);
    }
    if (!d) continue;
    parts.push(drawn('path', { class: `zone tint-${z.class}`, d }));
    if (hatches[z.class]) parts.push(drawn('path', { class: 'zone', d, fill: `url(#map-${hatches[z.class]})` }));
    shapes.push({ zone: z, rings: rings.map((ring) => clipRing(ring, sheet)).filter((ring) => ring.length > 2) });
  }
  const x = mapX(zones.length ? zones[0].box[0] : 0) % 2520, y = mapY(zones.length ? zones[0].box[1] : 0) % 2520;
  for (const pattern of map.svg.querySelectorAll('pattern')) pattern.setAttribute('patternTransform', `translate(${round(x)} ${round(y)})`);
  map.layers.zones.replaceChildren(...parts);
  map.layers.words.replaceChildren(...zoneLabels(shapes));
}

// zoneLabels writes class and name where a zone, less the worse ones that lie on it, has room for them.
function zoneLabels(shapes) {
  return shapes.flatMap(({ zone, rings }, i) => {
    const at = widestPlace(rings, shapes.slice(i + 1).map((shape) => shape.rings));
    const full = zone.label ? `${zoneWords(zone)}, ${zone.label}` : zoneWords(zone);
    const label = [full, zoneWords(zone), zone.specific === null ? classes[zone.class].letter : full].find((t) => at.width > 6.2 * t.length + 8 && at.height > 18);
    return label ? [drawn('text', { class: 'halo middle faint', x: round(at.x), y: round(at.y + 4) }, label)] : [];
  });
}

// drawStructures draws each structure once there is room: a dot where the conductor may hang, a square where it must be
// held in tension. Numbers come when there is room for them too.
function drawStructures(seen) {
  let hung = '', held = '';
  const labels = [], taken = new Set();
  const pixels = map.scale / metresPerDegree;
  const numbered = pixels > 0.18;
  if (pixels > 0.03) {
    for (const l of seen) {
      for (let s = l.first; s < l.end; s++) {
        const x = mapX(structures.lon[s]), y = mapY(structures.lat[s]);
        if (!(x > -20 && x < map.width + 20 && y > -20 && y < map.height + 20)) continue;
        const r = pixels > 0.1 ? 1 : 0.7;
        if (structures.requires[s] === 2) held += `M${round(x - 3.2 * r)} ${round(y - 3.2 * r)}h${6.4 * r}v${6.4 * r}h${-6.4 * r}z`;
        else hung += `M${round(x - 2.4 * r)} ${round(y)}a${2.4 * r} ${2.4 * r} 0 1 0 ${4.8 * r} 0a${2.4 * r} ${2.4 * r} 0 1 0 ${-4.8 * r} 0z`;
        const cell = `${Math.floor(x / 46)} ${Math.floor(y / 18)}`;
        if (numbered && labels.length < 250 && !taken.has(cell)) {
          taken.add(cell);
          labels.push(drawn('text', { class: 'halo', x: round(x + 9), y: round(y - 6) }, shortened(text(structures.number[s]), 14)));
        }
      }
    }
  }
  map.layers.hung.setAttribute('d', hung);
  map.layers.held.setAttribute('d', held);
  map.layers.words.append(...labels);
}

// drawMarks draws what is marked: of marks that would lie on each other the gravest, once.
function drawMarks() {
  const paths = markAt.map(() => ''), taken = new Set(), size = map.scale / metresPerDegree > 0.004 ? 1 : 0.7;
  for (let kind = 0; kind < clean; kind++) {
    for (const s of state.marked[kind]) {
      const x = mapX(structures.lon[s]), y = mapY(structures.lat[s]);
      if (!(x > -10 && x < map.width + 10 && y > -10 && y < map.height + 10)) continue;
      const cell = Math.floor(x / 7) * 10007 + Math.floor(y / 7);
      if (taken.has(cell)) continue;
      taken.add(cell);
      paths[kind] += markAt[kind](round(x), round(y), size);
    }
  }
  paths.forEach((d, kind) => map.layers[`mark${kind}`].setAttribute('d', d));
}

function drawRing(layer, s, r) {
  const x = s < 0 ? NaN : mapX(structures.lon[s]), y = s < 0 ? NaN : mapY(structures.lat[s]);
  map.layers[layer].setAttribute('d', known(x) && known(y) ? `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z` : '');
}

const steps = [10, 5, 2, 1, 30 / 60, 15 / 60, 10 / 60, 5 / 60, 2 / 60, 1 / 60, 30 / 3600, 15 / 3600, 10 / 3600, 5 / 3600, 2 / 3600, 1 / 3600];
function angleText(x, step, letters) {
  const turned = Math.abs(x) > 180 && letters[0] === 'E' ? x - 360 * Math.round(x / 360) : x;
  const seconds = Math.round(Math.abs(turned) * 3600);
  let out = `${Math.floor(seconds / 3600)}°`;
  if (step < 1) out += `${String(Math.floor(seconds / 60) % 60).padStart(2, '0')}′`;
  if (step < 1 / 60) out += `${String(seconds % 60).padStart(2, '0')}″`;
  return `${out}\u2009${turned < 0 ? letters[1] : letters[0]}`;
}

// drawFrame draws what a drawing sheet has round it: a band with degrees, a scale and north.
function drawFrame() {
  const w = map.width, h = map.height, parts = [];
  parts.push(drawn('path', { class: 'frame-band', 'fill-rule': 'evenodd', d: `M-1-1H${w + 1}V${h + 1}H-1zM${edge} ${edge}V${h - edge}H${w - edge}V${edge}z` }));
  parts.push(drawn('path', { class: 'frame', d: `M${edge + 0.5} ${edge + 0.5}H${w - edge - 0.5}V${h - edge - 0.5}H${edge + 0.5}z` }));
  let ticks = '';
  const across = steps.filter((s) => s * shrink() * map.scale > 110).pop() || 10, up = steps.filter((s) => s * map.scale > 90).pop() || 10;
  for (let k = Math.ceil(lonAt(edge) / across); k * across < lonAt(w - edge); k++) {
    const x = mapX(k * across);
    ticks += `M${round(x)} ${edge}v-5M${round(x)} ${h - edge}v5`;
    if (x > 60 && x < w - 60) parts.push(drawn('text', { class: 'faint', x: round(x + 4), y: h - 5 }, angleText(k * across, across, 'EW')));
  }
  for (let k = Math.ceil(latAt(h - edge) / up); k * up < latAt(edge); k++) {
    const y = mapY(k * up);
    ticks += `M${edge} ${round(y)}h-5M${w - edge} ${round(y)}h5`;
    if (y > 60 && y < h - 60) parts.push(drawn('text', { class: 'faint', transform: `translate(13 ${round(y - 4)}) rotate(-90)` }, angleText(k * up, up, 'NS')));
  }
  parts.push(drawn('path', { class: 'axis', d: ticks }), ...scaleBar(edge + 12, h - edge - 14), ...north(edge + 22, edge + 40));
  map.layers.frame.replaceChildren(...parts);
}

function scaleBar(x, y) {
  const pixelsPerMetre = map.scale / metresPerDegree;
  let length = 10 ** Math.floor(Math.log10(170 / pixelsPerMetre));
  for (const times of [5, 2]) if (length * times * pixelsPerMetre <= 170) { length *= times; break; }
  const px = length * pixelsPerMetre;
  const label = length >= 1000 ? `${grouped(length / 1000)} km` : `${round(length)} m`;
  return [
    drawn('path', { class: 'frame-band', d: `M${x - 6} ${y - 11}h${round(px) + 18 + 6.2 * label.length}v18h${-(round(px) + 18 + 6.2 * label.length)}z`, opacity: 0.85 }),
    drawn('path', { class: 'scale', d: `M${x} ${y - 5}v5h${round(px)}v-5M${round(x + px / 2)} ${y}v-4` }),
    drawn('text', { x: round(x + px + 6), y: y + 2 }, label),
  ];
}

function north(x, y) {
  return [drawn('path', { class: 'scale', d: `M${x} ${y + 14}V${y - 12}M${x - 4} ${y - 5}L${x} ${y - 13}L${x + 4} ${y - 5}` }), drawn('text', { class: 'middle halo', x, y: y - 16 }, 'N')];
}

// structureAt is the structure nearest to a point of the map, those with marks first; −1 for none near by.
function structureAt(x, y) {
  let best = -1, least = 14;
  const cos = shrink() * map.scale;
  for (const l of lines) {
    if (!inView(l.box)) continue;
    for (let s = l.first; s < l.end; s++) {
      const dx = map.width / 2 + (structures.lon[s] - map.lon) * cos - x, dy = map.height / 2 - (structures.lat[s] - map.lat) * map.scale - y;
      if (!(Math.abs(dx) < 14 && Math.abs(dy) < 14)) continue;
      const distance = Math.hypot(dx, dy) - (state.worst[s] < clean ? 5 - state.worst[s] : 0) - (l.index === state.line ? 1 : 0);
      if (distance < least) { least = distance; best = s; }
    }
  }
  return best;
}

// bringIntoView moves the map so that a structure stands well inside it, near enough to see its neighbours.
function bringIntoView(s, nearer) {
  const lon = structures.lon[s], lat = structures.lat[s];
  if (!known(lon) || !known(lat)) return;
  const wanted = map.width / (9000 / metresPerDegree);
  if (nearer && map.scale < wanted) setScale(wanted);
  const x = mapX(lon), y = mapY(lat), margin = nearer ? 0.3 : 0.12;
  if (nearer || x < margin * map.width || x > (1 - margin) * map.width || y < margin * map.height || y > (1 - margin) * map.height) {
    map.lon = lon; map.lat = lat;
  }
  drawMap();
}

(() => {
  let from = null, moved = false;
  const fingers = new Map();
  const at = (event) => { const r = map.box.getBoundingClientRect(); return [event.clientX - r.left - map.box.clientLeft, event.clientY - r.top - map.box.clientTop]; };
  map.box.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    fingers.set(event.pointerId, at(event));
    from = at(event);
    moved = fingers.size > 1;
    map.box.setPointerCapture(event.pointerId);
    map.box.focus({ preventScroll: true });
  });
  map.box.addEventListener('pointermove', (event) => {
    const here = at(event);
    if (!from) { hoverOver(structureAt(here[0], here[1]), event); return; }
    if (fingers.size === 2) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)[1], before = fingers.get(event.pointerId);
      const factor = Math.hypot(here[0] - other[0], here[1] - other[1]) / Math.max(1, Math.hypot(before[0] - other[0], before[1] - other[1]));
      fingers.set(event.pointerId, here);
      zoomAt(factor, (here[0] + other[0]) / 2, (here[1] + other[1]) / 2);
      return;
    }
    fingers.set(event.pointerId, here);
    if (!moved && Math.hypot(here[0] - from[0], here[1] - from[1]) < 4) return;
    moved = true;
    map.box.classList.add('dragged');
    hoverOver(-1);
    moveMap(here[0] - from[0], here[1] - from[1]);
    from = here;
  });
  const release = (event) => {
    fingers.delete(event.pointerId);
    if (from && !moved && event.type === 'pointerup') {
      const s = structureAt(...at(event));
      if (s >= 0) choose(s, { from: 'map' });
    }
    from = null;
    map.box.classList.remove('dragged');
  };
  map.box.addEventListener('pointerup', release);
  map.box.addEventListener('pointercancel', release);
  map.box.addEventListener('pointerleave', () => hoverOver(-1));
  map.box.addEventListener('wheel', (event) => {
    event.preventDefault();
    const unit = event.deltaMode === 1 ? 30 : 1;
    zoomAt(Math.exp(-Math.max(-240, Math.min(240, event.deltaY * unit)) / 420), ...at(event));
  }, { passive: false });
  const keys = {
    ArrowLeft: () => moveMap(80, 0), ArrowRight: () => moveMap(-80, 0), ArrowUp: () => moveMap(0, 80), ArrowDown: () => moveMap(0, -80),
    '+': () => zoomAt(1.5), '=': () => zoomAt(1.5), '-': () => zoomAt(1 / 1.5), '−': () => zoomAt(1 / 1.5), 0: () => showBox(wholeBox()),
  };
  map.box.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  });
  byId('zoom-in').addEventListener('click', () => zoomAt(1.6));
  byId('zoom-out').addEventListener('click', () => zoomAt(1 / 1.6));
  byId('zoom-all').addEventListener('click', () => showBox(wholeBox()));
  byId('zoom-line').addEventListener('click', () => { if (lines[state.line]) showBox(wholeBox([lines[state.line]])); });
})();
