// What the pages draw on: structures, lines and zones, see page_data.go, which also says the units; words, numbers and elements.

const source = JSON.parse(document.getElementById('audit-data').textContent);
const text = (n) => source.texts[n];
const classes = source.classes;

// unpacked undoes the runs of a long column, see page_columns.go.
function unpacked(column) {
  if (!(column || []).some((part) => typeof part === 'string')) return column || [];
  const out = [];
  for (const part of column) {
    if (typeof part !== 'string') { out.push(part); continue; }
    const [count, figure] = part.split('*'), value = JSON.parse(figure);
    for (let i = Number(count); i > 0; i--) out.push(value);
  }
  return out;
}

const figures = (column, unit = 1) => Float64Array.from(unpacked(column), (n) => (n === null ? NaN : n * unit));
const sums = (column, unit = 1) => {
  let last = 0;
  return Float64Array.from(unpacked(column), (n) => (n === null ? NaN : (last += n) * unit));
};
const counts = (column) => Int32Array.from(unpacked(column));

const structures = {
  number: counts(source.structures.number), role: counts(source.structures.role), requires: counts(source.structures.requires),
  class: counts(source.structures.class), zone: counts(source.structures.zone), assembly: counts(source.structures.assembly), ahead: counts(source.structures.ahead),
  lon: sums(source.structures.lon, 1e-6), lat: sums(source.structures.lat, 1e-6),
  chainage: sums(source.structures.chainage, 0.1), ground: sums(source.structures.ground, 0.1),
  deviation: figures(source.structures.deviation, 0.01),
};
const structureCount = structures.number.length;
const lineOf = new Int32Array(structureCount);

// Routes of their own have lines where the page does not hold every structure.
const routes = source.routes && { count: counts(source.routes.count), lon: sums(source.routes.lon, 1e-5), lat: sums(source.routes.lat, 1e-5), ahead: counts(source.routes.ahead) };

const lines = [];
(() => {
  const l = Object.fromEntries(Object.entries(source.lines).map(([name, column]) => [name, unpacked(column)]));
  let routed = 0;
  (l.name || []).forEach((name, i) => {
    const first = i ? lines[i - 1].end : 0;
    const line = {
      index: i, name: text(name), title: text(l.title[i]), kv: l.kv[i] === null ? NaN : l.kv[i] / 10, first, end: first + l.count[i],
      of: l.of[i], length: l.length[i] === null ? NaN : l.length[i], assessed: l.assessed[i] === 1, closed: l.closed[i] === 1,
      // Exceptions of the whole line by severity, whether the page holds them or not.
      exceptions: [l.shortfalls, l.advisories, l.notes].map((column) => (column && column.length ? column[i] : 0)),
    };
    lineOf.fill(i, first, line.end);
    if (routes) {
      const next = routed + routes.count[i];
      line.route = { lon: routes.lon.subarray(routed, next), lat: routes.lat.subarray(routed, next), ahead: routes.ahead.subarray(routed, next) };
      routed = next;
    }
    line.box = line.route ? boxAround(line.route.lon, line.route.lat) : boxAround(structures.lon.subarray(first, line.end), structures.lat.subarray(first, line.end));
    lines.push(line);
  });
})();

const zones = source.zones.map((z) => ({
  class: z.class, label: text(z.label), specific: z.specific, doubtful: z.doubtful,
  rings: wound(z.rings.map((packed) => {
    const ring = unpacked(packed);
    const flat = new Float64Array(ring.length);
    let lon = 0, lat = 0;
    for (let i = 0; i < ring.length; i += 2) {
      flat[i] = (lon += ring[i]) * 1e-6;
      flat[i + 1] = (lat += ring[i + 1]) * 1e-6;
    }
    return flat;
  })),
}));
for (const z of zones) {
  z.box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const flat of z.rings) {
    for (let i = 0; i < flat.length; i += 2) {
      z.box = [Math.min(z.box[0], flat[i]), Math.min(z.box[1], flat[i + 1]), Math.max(z.box[2], flat[i]), Math.max(z.box[3], flat[i + 1])];
    }
  }
}

// Words and numbers.
const grouped = (n) => String(Math.round(n)).replace(/\B(?=(\d{3})+$)/g, '\u202f');
const counted = (n, one, many) => `${grouped(n)} ${n === 1 ? one : many}`;
const known = (x) => !Number.isNaN(x);
const degrees = (x) => `${Math.abs(x).toFixed(2)}°${x > 0 ? ' right' : x < 0 ? ' left' : ''}`;
const siteOf = (s) => {
  const letter = classes[structures.class[s]].letter;
  const zone = zones[structures.zone[s]];
  if (structures.site && structures.site[s]) return text(structures.site[s]);
  if (zone && zone.specific !== null) return `${zone.specific} mm/kV`;
  return letter || 'unknown';
};

// inOrder keeps the order of a sentence that runs from left to right, whatever words from the right its names have: each run of such words is isolated with
// the blanks and figures between them.
const rightward = '\\p{sc=Hebrew}\\p{sc=Arabic}\\p{sc=Syriac}\\p{sc=Thaana}\\p{sc=Nko}\\p{sc=Samaritan}\\p{sc=Mandaic}\\p{sc=Adlam}\\p{sc=Hanifi_Rohingya}';
const rightwardRun = new RegExp(`[${rightward}](?:[${rightward}\\p{Mn}]|[\\p{Nd} \\-/_\\u00a0\\u2010\\u2011]+(?=[${rightward}]))*`, 'gu');
const inOrder = (sentence) => sentence.replace(rightwardRun, '\u2068$&\u2069');

// Elements. Text of inputs only ever goes in as text.
const byId = (id) => document.getElementById(id);
const element = (name, attributes, ...children) => fill(document.createElement(name), attributes, children);
const drawn = (name, attributes, ...children) => fill(document.createElementNS('http://www.w3.org/2000/svg', name), attributes, children);
function fill(node, attributes, children) {
  for (const [key, value] of Object.entries(attributes || {})) node.setAttribute(key, value);
  for (const child of children) node.append(child);
  return node;
}
const glyph = (severity) => drawn('svg', { class: 'glyph', 'aria-hidden': 'true' }, drawn('use', { href: `#mark-${severity}` }));

const round = (x) => Math.round(x * 10) / 10;
const shortened = (t, most) => (t.length > most ? `${t.slice(0, most - 1).replace(/[\uD800-\uDBFF]$/, '')}…` : t);

// What is chosen, and who wants to know.
const state = { line: -1, structure: -1, hover: -1 };
