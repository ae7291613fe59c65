
// How zones are filled: a quiet tint, and a hatch that grows denser with the class, so that grey print tells them apart.

const hatches = { 2: 'dots-far', 3: 'dots-near', 4: 'strokes', 5: 'cross', 6: 'dense', 0: 'level' };

function hatchPatterns(prefix) {
  const classOf = Object.fromEntries(Object.entries(hatches).map(([c, name]) => [name, c]));
  const pattern = (name, size, ...children) =>
    drawn('pattern', { id: `${prefix}-${name}`, width: size, height: size, patternUnits: 'userSpaceOnUse' }, drawn('path', { class: `tint-${classOf[name]}`, d: `M0 0h${size}v${size}h${-size}z` }), ...children);
  const stroke = (d) => drawn('path', { class: 'hatching', d });
  const dot = (x, y, r) => drawn('circle', { class: 'dots', cx: x, cy: y, r });
  return [
    pattern('dots-far', 14, dot(3, 3, 0.7), dot(10, 10, 0.7)),
    pattern('dots-near', 8, dot(2, 2, 0.8), dot(6, 6, 0.8)),
    pattern('strokes', 9, stroke('M-2 11 11-2M-2 2 2-2M7 11 11 7')),
    pattern('cross', 9, stroke('M-2 11 11-2M-2 2 2-2M7 11 11 7M-2-2 11 11M7-2 11 2M-2 7 2 11')),
    pattern('dense', 5, stroke('M-2 7 7-2M-2 2 2-2M3 7 7 3M-2-2 7 7M3-2 7 2M-2 3 2 7')),
    pattern('level', 6, stroke('M0 3h6')),
  ];
}

// clipRing cuts a ring to a box, edge by edge, and leaves out what lies on a point already drawn.
function clipRing(points, box) {
  const sides = [
    [0, box[0], 1], [0, box[2], -1], [1, box[1], 1], [1, box[3], -1],
  ];
  let ring = points;
  for (const [axis, edge, sign] of sides) {
    const inside = (p) => sign * (p[axis] - edge) >= 0;
    const out = [];
    for (let i = 0; i < ring.length; i++) {
      const a = ring[(i + ring.length - 1) % ring.length], b = ring[i];
      if (inside(a) !== inside(b)) {
        const share = (edge - a[axis]) / (b[axis] - a[axis]);
        out.push([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]);
      }
      if (inside(b)) out.push(b);
    }
    ring = out;
    if (!ring.length) break;
  }
  return ring;
}

// ringPath is a ring as a path.
const ringPath = (ring) => (ring.length < 3 ? '' : `M${ring.map((p) => `${round(p[0])} ${round(p[1])}`).join('L')}z`);

// insideAt lists where the level y runs inside rings: from, to, from, to …
function insideAt(rings, y) {
  const cuts = [];
  for (const ring of rings) {
    for (let i = 0; i < ring.length; i++) {
      const a = ring[i], b = ring[(i + 1) % ring.length];
      if ((a[1] > y) !== (b[1] > y)) cuts.push(a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0]));
    }
  }
  return cuts.sort((a, b) => a - b);
}

// widestPlace is the middle of the widest stretch that is inside rings and under no other shape, on one of a few levels.
function widestPlace(rings, others) {
  let low = Infinity, high = -Infinity;
  for (const ring of rings) for (const p of ring) { low = Math.min(low, p[1]); high = Math.max(high, p[1]); }
  let best = { width: 0 };
  for (const share of [0.5, 0.3, 0.7, 0.15, 0.85]) {
    const y = low + share * (high - low);
    const own = insideAt(rings, y), covered = others.map((other) => insideAt(other, y));
    const edges = [...own, ...covered.flat()].sort((a, b) => a - b);
    const within = (cuts, x) => cuts.filter((cut) => cut < x).length % 2 === 1;
    for (let i = 0; i + 1 < edges.length; i++) {
      const middle = (edges[i] + edges[i + 1]) / 2, width = edges[i + 1] - edges[i];
      if (width > best.width * 1.15 && within(own, middle) && !covered.some((cuts) => within(cuts, middle))) best = { width, x: middle, y };
    }
  }
  return { ...best, height: high - low };
}

const zoneWords = (z) => (z.specific !== null ? `${z.specific} mm/kV` : `class ${classes[z.class].letter}`);

// The zones that are drawn. Those that follow each other and have one class are drawn as one.
const drawnZones = [], zoneRuns = [];
function takeZones(list) {
  drawnZones.length = zoneRuns.length = 0;
  for (const z of list) {
    drawnZones.push(z);
    const last = zoneRuns[zoneRuns.length - 1];
    if (last && last.class === z.class) last.zones.push(z); else zoneRuns.push({ class: z.class, zones: [z] });
  }
}
takeZones(zones);

// zoneRing is a ring of a zone on the sheet, no finer than is seen, cut to the map where it reaches over it.
function zoneRing(z, k, cut) {
  z.tolerance = z.tolerance || [];
  const flat = z.rings[k];
  if (!z.tolerance[k]) z.tolerance[k] = tolerances(axisOf(flat, 0), axisOf(flat, 1));
  const tolerance = z.tolerance[k], least = 1 / map.scale, ring = [];
  const cos = shrink() * map.scale, x0 = map.width / 2 - map.lon * cos, y0 = map.height / 2 + map.lat * map.scale;
  for (let i = 0; i < tolerance.length; i++) if (tolerance[i] >= least) ring.push([flat[2 * i] * cos + x0, y0 - flat[2 * i + 1] * map.scale]);
  return cut ? clipRing(ring, cut) : ring;
}

// drawZones draws the zones in reach, those of one class as one path.
function drawZones() {
  const [outX, outY] = beyond(), box = [-outX, -outY, map.width + outX, map.height + outY], parts = [];
  for (const run of map.zones ? zoneRuns : []) {
    let d = '';
    for (const z of run.zones) {
      const [left, top, right, bottom] = zoneBox(z);
      if (right < box[0] || left > box[2] || bottom < box[1] || top > box[3]) continue;
      if (right - left < 1.5 && bottom - top < 1.5) { d += `M${round(left)} ${round(top)}h1.5v1.5h-1.5z`; continue; }
      const reachesOver = left < box[0] || right > box[2] || top < box[1] || bottom > box[3];
      for (let k = 0; k < z.rings.length; k++) d += ringPath(zoneRing(z, k, reachesOver ? box : null));
    }
    if (d) parts.push(drawn('path', hatches[run.class] ? { class: 'zone', d, fill: `url(#map-${hatches[run.class]})` } : { class: `zone tint-${run.class}`, d }));
  }
  const x = mapX(zones.length ? zones[0].box[0] : 0) % 2520, y = mapY(zones.length ? zones[0].box[1] : 0) % 2520;
  for (const pattern of map.svg.querySelectorAll('pattern')) pattern.setAttribute('patternTransform', `translate(${round(x)} ${round(y)})`);
  map.layers.zones.replaceChildren(...parts);
}

const zoneBox = (z) => [mapX(z.box[0]), mapY(z.box[3]), mapX(z.box[2]), mapY(z.box[1])];

const mostZoneNames = 24;
// zoneNames writes class and name where a zone, less the worse ones that lie on it, has room for them; the largest first.
function zoneNames(place) {
  const sheet = [edge, edge, map.width - edge, map.height - foot], size = ({ box: b }) => (b[2] - b[0]) * (b[3] - b[1]);
  const ringsOf = ({ zone }) => zone.rings.map((_, k) => zoneRing(zone, k, sheet)).filter((ring) => ring.length > 2);
  const shown = drawnZones.filter((z) => inView(z.box)).map((zone, at) => ({ zone, at, box: zoneBox(zone) }));
  const wide = shown.filter(({ box: b }) => b[2] - b[0] > 30 && b[3] - b[1] > 18);
  return wide.sort((a, b) => size(b) - size(a)).slice(0, mostZoneNames).flatMap((one) => {
    const { zone, box: b } = one;
    const over = shown.slice(one.at + 1).filter(({ box: o }) => o[0] < b[2] && o[2] > b[0] && o[1] < b[3] && o[3] > b[1]).map(ringsOf);
    const at = widestPlace(ringsOf(one), over);
    const full = zone.label ? `${zoneWords(zone)}, ${zone.label}` : zoneWords(zone);
    const label = [full, zoneWords(zone), zone.specific === null ? classes[zone.class].letter : full].find((t) => at.width > 6.2 * t.length + 8 && at.height > 18 &&
      place([[at.x - textWidth(t) / 2, at.y - 7, at.x + textWidth(t) / 2, at.y + 6]]));
    return label ? [drawn('text', { class: 'halo middle faint', x: round(at.x), y: round(at.y + 4) }, label)] : [];
  });
}
