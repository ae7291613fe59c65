
// The route map: a plane around the middle of the view, degrees of longitude shortened by the cosine of its latitude.

const map = { svg: byId('map-svg'), box: byId('map'), lon: 0, lat: 0, scale: 1, width: 0, height: 0, layers: {}, drawnAt: {}, groups: [], setAt: NaN, reach: 0, zones: true, places: true, levels: [], kinds: [] };
const metresPerDegree = 111320;
const edge = 18, foot = 40; // of the frame: on three sides, and below, where scale and north stand

(() => {
  const layer = (name, attributes) => (map.layers[name] = drawn('path', attributes));
  map.svg.append(
    drawn('defs', null, ...hatchPatterns('map')),
    (map.layers.zones = drawn('g', { class: 'zones' })), (map.layers.places = drawn('g', { class: 'places' })),
    layer('stretch', { class: 'route stretch' }), layer('aside', { class: 'route aside' }), layer('routes', { class: 'route' }),
    ...[1, 2, 3].map((level) => layer(`dense${level}`, { class: `dense dense-${level}` })),
    layer('chosen', { class: 'route chosen-line' }), layer('hung', { class: 'hung' }), layer('held', { class: 'held' }),
    (map.layers.words = drawn('g')), layer('tags', { class: 'tag' }),
    ...markAt.map((_, kind) => layer(`mark${kind}`, { class: `mark mark-${kind}` })).reverse(),
    (map.layers.figures = drawn('g')),
    layer('hover', { class: 'ring' }), layer('ring', { class: 'ring' }), (map.layers.frame = drawn('g')),
  );
})();

const cosine = (lat) => Math.max(0.01, Math.cos((lat * Math.PI) / 180));
// shrink is that of the latitude at which the view was last set, so that moving a little changes no shapes; a far move sets it anew.
function shrink() {
  const here = cosine(map.lat);
  if (!(Math.abs(here / cosine(map.setAt) - 1) < 0.03)) map.setAt = map.lat;
  return cosine(map.setAt);
}
const mapX = (lon) => map.width / 2 + (lon - map.lon) * shrink() * map.scale;
const mapY = (lat) => map.height / 2 - (lat - map.lat) * map.scale;
const lonAt = (x) => map.lon + (x - map.width / 2) / (shrink() * map.scale);
const latAt = (y) => map.lat - (y - map.height / 2) / map.scale;
const limits = { least: 1, most: metresPerDegree / 0.08 };
const densityOf = (line) => (line.length > 0 ? line.exceptions.reduce((sum, n) => sum + n, 0) / (line.length / 1000) : 0);
map.levels = densityLevels(lines.map(densityOf));
for (const line of lines) line.level = densityLevel(densityOf(line), map.levels);

function wholeBox(of = lines) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const l of of) {
    box[0] = Math.min(box[0], l.box[0]); box[1] = Math.min(box[1], l.box[1]);
    box[2] = Math.max(box[2], l.box[2]); box[3] = Math.max(box[3], l.box[3]);
  }
  return box[0] <= box[2] ? box : [0, 0, 0, 0];
}

// startBox is the box around the central 98 % of the structures of lines, or of the points of routes where the page has those.
function startBox(of = lines) {
  if (routes && of === lines) return mainBox(routes.lon, routes.lat);
  const at = of.flatMap((l) => Array.from({ length: l.end - l.first }, (_, i) => l.first + i));
  return mainBox(at.map((s) => structures.lon[s]), at.map((s) => structures.lat[s]));
}

function showBox(box) {
  map.lon = (box[0] + box[2]) / 2;
  map.lat = (box[1] + box[3]) / 2;
  map.setAt = map.lat;
  const across = Math.max((box[2] - box[0]) * shrink(), 0.004), up = Math.max(box[3] - box[1], 0.004);
  setScale(Math.min((map.width - 2 * edge - 36) / across, (map.height - edge - foot - 36) / up));
  map.lat -= (foot - edge) / 2 / map.scale;
  drawMap();
}

function setScale(scale) {
  map.scale = Math.min(Math.max(scale, limits.least), limits.most);
  map.reach = 0;
}

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
  map.reach = 0.5;
  drawMap();
}

// Points closer than this, in pixels, to the course that is drawn are left out of it.
const unseen = 0.6;

// onSheet are the points of a course on the sheet, no finer than is seen, with whether each is joined to the one before it.
function onSheet({ lon, lat, ahead, tolerance }) {
  const least = unseen / map.scale, cos = shrink() * map.scale, x0 = map.width / 2 - map.lon * cos, y0 = map.height / 2 + map.lat * map.scale, out = [];
  let joined = false;
  for (let i = 0; i < lon.length; i++) {
    if (i && ahead[i - 1] !== 1) joined = false;
    if (tolerance[i] < least && ahead[i] === 1 && joined) continue;
    out.push([lon[i] * cos + x0, y0 - lat[i] * map.scale, joined]);
    joined = true;
  }
  return out;
}

// beyond is how far out of the view the map is drawn, in pixels: more once it is moved, so that it need not be drawn anew for each move.
const beyond = () => [60 + map.reach * map.width, 60 + map.reach * map.height];
// pathOf is points of a course as a path: what lies outside the view is left out.
function pathOf(points) {
  const [outX, outY] = beyond(), right = map.width + outX, bottom = map.height + outY;
  let d = '', open = false;
  for (let i = 1; i < points.length; i++) {
    const [px, py] = points[i - 1], [x, y, joined] = points[i];
    if (!joined || (x < -outX && px < -outX) || (x > right && px > right) || (y < -outY && py < -outY) || (y > bottom && py > bottom)) { open = false; continue; }
    d += open ? `L${round(x)} ${round(y)}` : `M${round(px)} ${round(py)}L${round(x)} ${round(y)}`;
    open = true;
  }
  return d;
}

// routePath is the course of a line, or of what it has between two structures.
function routePath(line, from, to) {
  if (from === undefined) return pathOf(onSheet(courseOf(line)));
  const points = [];
  for (let s = from; s <= to; s++) {
    if (known(structures.lon[s]) && known(structures.lat[s])) points.push([mapX(structures.lon[s]), mapY(structures.lat[s]), points.length > 0 && structures.ahead[s - 1] === 1]);
  }
  return pathOf(points);
}

const inView = (box) => box[0] <= lonAt(map.width + 60) && box[2] >= lonAt(-60) && box[1] <= latAt(-60) && box[3] >= latAt(map.height + 60);
function inReach(box) {
  const [outX, outY] = beyond();
  return box[0] <= lonAt(map.width + outX) && box[2] >= lonAt(-outX) && box[1] <= latAt(-outY) && box[3] >= latAt(map.height + outY);
}
const viewed = () => [map.lon, map.lat, map.scale, map.width, map.height].join(' ');
const near = () => map.scale / metresPerDegree > 0.03; // so near that each structure is drawn

let mapWanted = false;
function drawMap() {
  if (mapWanted) return;
  mapWanted = true;
  requestAnimationFrame(() => { mapWanted = false; drawMapNow(); });
}

// once draws a part of the map where what it depends on is not what it was.
function once(part, dependsOn, draw) {
  if (map.drawnAt[part] === dependsOn) return;
  map.drawnAt[part] = dependsOn;
  draw();
}

// moved draws a part of the map where what it depends on is not what it was, or the view left what was drawn; else it moves its layers.
function moved(part, dependsOn, layers, draw) {
  const key = `${map.scale} ${shrink()} ${map.width} ${map.height} ${dependsOn}`, from = map.drawnAt[part];
  let dx = from ? (from.lon - map.lon) * shrink() * map.scale : 0, dy = from ? (map.lat - from.lat) * map.scale : 0;
  if (!from || from.key !== key || Math.abs(dx) > from.reach * map.width || Math.abs(dy) > from.reach * map.height) {
    map.drawnAt[part] = { key, lon: map.lon, lat: map.lat, reach: map.reach };
    draw();
    dx = 0; dy = 0;
  }
  for (const layer of layers) map.layers[layer].setAttribute('transform', `translate(${round(dx)} ${round(dy)})`);
}

// drawMapNow draws at the size the map has on the screen, or has to have on paper, and only what is not drawn so yet.
function drawMapNow(width = map.box.clientWidth, height = map.box.clientHeight) {
  if (!width) return;
  map.width = width; map.height = height;
  map.svg.setAttribute('viewBox', `0 0 ${map.width} ${map.height}`);
  const view = viewed(), seen = lines.filter((l) => inView(l.box));
  moved('zones', map.zones, ['zones'], drawZones);
  moved('routes', state.scenario, ['routes', 'aside', 'dense1', 'dense2', 'dense3'], drawRoutes);
  const chosen = lines[state.line];
  map.layers.chosen.setAttribute('d', chosen && inView(chosen.box) ? routePath(chosen) : '');
  map.layers.stretch.setAttribute('d', stretchPath());
  moved('structures', '', ['hung', 'held'], drawStructures);
  drawMarks();
  drawWords(seen);
  drawRing('ring', state.structure, ringRadius);
  drawRing('hover', state.hover, 8);
  once('frame', view, () => drawFrame(seen));
}

// drawRoutes draws all lines, and over them, as long as structures are not drawn, how many exceptions they have per km.
function drawRoutes() {
  let all = '', aside = '';
  const dense = ['', '', '', ''];
  for (const l of lines) {
    if (!inReach(l.box)) continue;
    const d = routePath(l);
    if (!l.assessed) { aside += d; continue; }
    all += d;
    if (!near()) dense[l.level] += d;
  }
  map.layers.routes.setAttribute('d', all);
  map.layers.aside.setAttribute('d', aside);
  for (const level of [1, 2, 3]) map.layers[`dense${level}`].setAttribute('d', dense[level]);
}

// drawStructures draws each structure once there is room: a dot where the conductor may hang, a square where it must be held in tension.
function drawStructures() {
  let hung = '', held = '';
  map.standing = [];
  const pixels = map.scale / metresPerDegree, r = pixels > 0.1 ? 1 : 0.7;
  const [outX, outY] = beyond();
  for (const l of near() ? lines.filter((line) => inReach(line.box)) : []) {
    for (let s = l.first; s < l.end; s++) {
      const x = mapX(structures.lon[s]), y = mapY(structures.lat[s]);
      if (!(x > -outX && x < map.width + outX && y > -outY && y < map.height + outY)) continue;
      map.standing.push(s);
      if (structures.requires[s] === 2) held += `M${round(x - 3.2 * r)} ${round(y - 3.2 * r)}h${6.4 * r}v${6.4 * r}h${-6.4 * r}z`;
      else hung += `M${round(x - 2.4 * r)} ${round(y)}a${2.4 * r} ${2.4 * r} 0 1 0 ${4.8 * r} 0a${2.4 * r} ${2.4 * r} 0 1 0 ${-4.8 * r} 0z`;
    }
  }
  map.layers.hung.setAttribute('d', hung);
  map.layers.held.setAttribute('d', held);
}

// ringBox is what the ring round the chosen structure takes, with its stroke, null where that has no place.
const ringRadius = 10;
const ringBox = (x, y) => (known(x) && known(y) ? [x - ringRadius - 2, y - ringRadius - 2, x + ringRadius + 2, y + ringRadius + 2] : null);

// gatherMarks gathers what is marked in view and half a map round it. Moving the view moves the groups and makes no others.
function gatherMarks() {
  const from = map.gathered, at = { scale: map.scale, shrink: shrink(), marked: state.marked, chosen: state.structure, width: map.width, height: map.height };
  const dx = from ? (from.lon - map.lon) * at.shrink * map.scale : 0, dy = from ? (map.lat - from.lat) * map.scale : 0;
  if (from && Object.keys(at).every((key) => at[key] === from[key]) && Math.abs(dx) <= map.width / 2 && Math.abs(dy) <= map.height / 2) {
    map.groups = from.groups.map((group) => ({ ...group, x: group.x + dx, y: group.y + dy }));
    return;
  }
  const points = [], w = map.width / 2, h = map.height / 2, cos = at.shrink * map.scale;
  for (let kind = 0; kind < clean; kind++) {
    for (const s of state.marked[kind]) {
      const x = w + (structures.lon[s] - map.lon) * cos, y = h - (structures.lat[s] - map.lat) * map.scale;
      if (x > -w && x < 3 * w && y > -h && y < 3 * h && s !== state.structure) points.push({ x, y, kind, s });
    }
  }
  map.groups = gathered(points, markAt.length, ringBox(w + (structures.lon[state.structure] - map.lon) * cos, h - (structures.lat[state.structure] - map.lat) * map.scale));
  map.gathered = { ...at, lon: map.lon, lat: map.lat, groups: map.groups };
}

// drawMarks draws what is marked: marks that would lie on each other together, as a tag that counts them by kind. The chosen structure keeps
// a mark of its own.
function drawMarks() {
  const paths = markAt.map(() => ''), figuresAt = [], onMap = (box) => box[2] > edge && box[0] < map.width - edge && box[3] > edge && box[1] < map.height - foot;
  let tags = '';
  gatherMarks();
  map.groups = map.groups.filter((group) => onMap(boxOf(group)));
  for (const group of map.groups) {
    if (group.members.length === 1) { paths[group.members[0].kind] += markAt[group.members[0].kind](round(group.x), round(group.y)); continue; }
    const [left, top, right, bottom] = boxOf(group);
    tags += `M${round(left)} ${round(top)}H${round(right)}V${round(bottom)}H${round(left)}z`;
    let x = left + 4;
    for (const { n, kind } of tagParts(group.kinds)) {
      paths[kind] += markAt[kind](round(x + 7), round(group.y), 0.72);
      figuresAt.push(drawn('text', { x: round(x + 15), y: round(group.y + 4) }, grouped(n)));
      x += 20 + 6.6 * grouped(n).length;
    }
  }
  const s = state.structure, kind = s < 0 ? clean : state.worst[s], x = s < 0 ? NaN : mapX(structures.lon[s]), y = s < 0 ? NaN : mapY(structures.lat[s]);
  map.chosenMark = kind < clean && known(x) && known(y) ? [x, y] : null;
  if (map.chosenMark) paths[kind] += markAt[kind](round(x), round(y));
  map.layers.tags.setAttribute('d', tags);
  map.layers.figures.replaceChildren(...figuresAt);
  paths.forEach((d, i) => map.layers[`mark${i}`].setAttribute('d', d));
}

function drawRing(layer, s, r) {
  const x = s < 0 ? NaN : mapX(structures.lon[s]), y = s < 0 ? NaN : mapY(structures.lat[s]);
  map.layers[layer].setAttribute('d', known(x) && known(y) ? `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z` : '');
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

// tagAt is the tag under a point of the map, undefined for none; the chosen structure goes before it.
function tagAt(x, y) {
  if (map.chosenMark && Math.hypot(map.chosenMark[0] - x, map.chosenMark[1] - y) < 9) return undefined;
  return map.groups.find((group) => {
    const box = boxOf(group);
    return group.members.length > 1 && x >= box[0] && x <= box[2] && y >= box[1] && y <= box[3];
  });
}

// lineNear is the line whose route runs past a point of the map, undefined for none.
function lineNear(x, y) {
  let best, least = 7;
  for (const l of lines) {
    if (!inView(l.box)) continue;
    const points = onSheet(courseOf(l));
    for (let i = 1; i < points.length; i++) {
      if (!points[i][2]) continue;
      const [ax, ay] = points[i - 1], dx = points[i][0] - ax, dy = points[i][1] - ay, length = dx * dx + dy * dy;
      const share = length > 0 ? Math.min(Math.max(((x - ax) * dx + (y - ay) * dy) / length, 0), 1) : 0, away = Math.hypot(ax + share * dx - x, ay + share * dy - y);
      if (away < least) { least = away; best = l; }
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
