// The data of the page, see page_data.go, which also says the units.

const source = JSON.parse(document.getElementById('audit-data').textContent);
const text = (n) => source.texts[n];
const classes = source.classes;
const checks = source.checks;

const figures = (column, unit = 1) => Float64Array.from(column || [], (n) => (n === null ? NaN : n * unit));
const sums = (column, unit = 1) => {
  let last = 0;
  return Float64Array.from(column || [], (n) => (n === null ? NaN : (last += n) * unit));
};
const counts = (column) => Int32Array.from(column || []);

const structures = {
  number: counts(source.structures.number), role: counts(source.structures.role), requires: counts(source.structures.requires),
  hangs: counts(source.structures.hangs), class: counts(source.structures.class), zone: counts(source.structures.zone),
  why: counts(source.structures.why), assembly: counts(source.structures.assembly), crosses: counts(source.structures.crosses),
  ahead: counts(source.structures.ahead), work: counts(source.structures.work), fit: counts(source.structures.fit), remove: counts(source.structures.remove), weighing: counts(source.structures.weighing),
  lon: sums(source.structures.lon, 1e-6), lat: sums(source.structures.lat, 1e-6),
  chainage: sums(source.structures.chainage, 0.1), ground: sums(source.structures.ground, 0.1),
  deviation: figures(source.structures.deviation, 0.01), limit: sums(source.structures.limit, 0.01),
  required: figures(source.structures.required), installed: figures(source.structures.installed),
};
const structureCount = structures.number.length;
const lineOf = new Int32Array(structureCount);

const lines = [];
(source.lines.name || []).forEach((name, i) => {
  const l = source.lines;
  const first = i ? lines[i - 1].end : 0;
  const line = {
    index: i, name: text(name), title: text(l.title[i]), kv: l.kv[i] === null ? NaN : l.kv[i] / 10, first, end: first + l.count[i],
    of: l.of[i], length: l.length[i] === null ? NaN : l.length[i], assessed: l.assessed[i] === 1, closed: l.closed[i] === 1, counts: [0, 0, 0],
    box: [Infinity, Infinity, -Infinity, -Infinity],
  };
  for (let s = first; s < line.end; s++) {
    lineOf[s] = i;
    const lon = structures.lon[s], lat = structures.lat[s];
    if (Number.isNaN(lon) || Number.isNaN(lat)) continue;
    line.box = [Math.min(line.box[0], lon), Math.min(line.box[1], lat), Math.max(line.box[2], lon), Math.max(line.box[3], lat)];
  }
  lines.push(line);
});

const exceptions = {
  severity: counts(source.exceptions.severity), check: counts(source.exceptions.check), line: counts(source.exceptions.line),
  at: counts(source.exceptions.at), to: counts(source.exceptions.to), detail: counts(source.exceptions.detail),
  sentence: counts(source.exceptions.sentence), installed: counts(source.exceptions.installed), margin: figures(source.exceptions.margin, 0.1),
  state: counts(source.exceptions.state), firstSeen: counts(source.exceptions.firstSeen), ids: counts(source.exceptions.ids),
};
const exceptionCount = exceptions.severity.length;
const severities = ['shortfall', 'advisory', 'note'];
const changes = ['new', 'standing', 'worse', 'better'];
const stands = 1;
const addressOf = (e) => `e-${text(exceptions.ids[e]).split(' ')[0]}`;
const decidedOnly = 3, clean = 4; // the severity of a structure whose exceptions are all accepted or planned, and of one without

// The exceptions of each structure, and of each line as a whole.
const atStructure = new Map();
for (let e = 0; e < exceptionCount; e++) {
  const line = lines[exceptions.line[e]];
  if (line) line.counts[exceptions.severity[e]]++;
  const at = exceptions.at[e];
  if (at < 0) continue;
  if (!atStructure.has(at)) atStructure.set(at, []);
  atStructure.get(at).push(e);
}

const zones = source.zones.map((z) => ({
  class: z.class, label: text(z.label), specific: z.specific, doubtful: z.doubtful,
  rings: z.rings.map((ring) => {
    const flat = new Float64Array(ring.length);
    let lon = 0, lat = 0;
    for (let i = 0; i < ring.length; i += 2) {
      flat[i] = (lon += ring[i]) * 1e-6;
      flat[i + 1] = (lat += ring[i + 1]) * 1e-6;
    }
    return flat;
  }),
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
  if (zone && zone.specific !== null) return `${zone.specific} mm/kV`;
  return letter || 'unknown';
};

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

// The outlines of the marks of exceptions around a point, as in the symbols of the page.
const markAt = [
  (x, y, k = 1) => `M${round(x - 6.5 * k)} ${round(y + 5 * k)}h${13 * k}l${-6.5 * k}${-11.5 * k}z`,
  (x, y, k = 1) => `M${x} ${round(y - 6.2 * k)}l${6.2 * k} ${6.2 * k} ${-6.2 * k} ${6.2 * k} ${-6.2 * k} ${-6.2 * k}z`,
  (x, y, k = 1) => `M${round(x - 4.2 * k)} ${y}a${4.2 * k} ${4.2 * k} 0 1 0 ${8.4 * k} 0a${4.2 * k} ${4.2 * k} 0 1 0 ${-8.4 * k} 0z`,
  (x, y, k = 1) => `M${round(x - 4 * k)} ${round(y - 4 * k)}l${8 * k} ${8 * k}m0 ${-8 * k}l${-8 * k} ${8 * k}`,
];
const round = (x) => Math.round(x * 10) / 10;

// What is chosen, and who wants to know.
const state = { line: -1, structure: -1, exception: -1, hover: -1, shown: [], worst: new Uint8Array(structureCount).fill(clean) };

// Decisions, dates, remarks and what is carried through, by exception.
const decided = source.exceptions.decision ? [{ name: 'Decision', values: source.exceptions.decision }, { name: 'Decided', values: source.exceptions.decided }] : [];
const carried = [...decided, ...(source.carried || [])].map(({ name, values }) => ({ name, values: counts(values) }));
const closed = counts(source.exceptions.closed);
const decisionOf = (e) => decided.map(({ values }) => text(values[e])).filter(Boolean).join('; ');
