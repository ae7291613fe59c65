// The data of an audit beside what it draws on, see page_data.go.

const checks = source.checks;
Object.assign(structures, {
  hangs: counts(source.structures.hangs), why: counts(source.structures.why), crosses: counts(source.structures.crosses),
  work: counts(source.structures.work), fit: counts(source.structures.fit), remove: counts(source.structures.remove), weighing: counts(source.structures.weighing),
  limit: sums(source.structures.limit, 0.01), required: figures(source.structures.required), installed: figures(source.structures.installed), missing: counts(source.structures.missing),
});
for (const line of lines) line.counts = [0, 0, 0];

const exceptions = {
  severity: counts(source.exceptions.severity), check: counts(source.exceptions.check), line: counts(source.exceptions.line),
  at: counts(source.exceptions.at), to: counts(source.exceptions.to), detail: counts(source.exceptions.detail), job: counts(source.exceptions.job),
  sentence: counts(source.exceptions.sentence), installed: counts(source.exceptions.installed), margin: figures(source.exceptions.margin, 0.1),
  state: counts(source.exceptions.state), firstSeen: counts(source.exceptions.firstSeen), ids: counts(source.exceptions.ids),
};
const exceptionCount = exceptions.severity.length;
const severities = ['shortfall', 'advisory', 'note'];
const changes = ['new', 'standing', 'worse', 'better'];
const stands = 1;
// The places whose names are not as they are, or too long for a link, by what stands for them there; placeOf is what leads to a structure.
const hashed = new Map(Object.entries(source.hashed || {}));
const hashOf = new Map([...hashed].map(([hash, [, s]]) => [s, hash]));
const placeOf = (s) => hashOf.get(s) || `structure/${encodeURIComponent(lines[lineOf[s]].name)}/${encodeURIComponent(text(structures.number[s]))}`;
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

// The outlines of the marks of exceptions around a point, as in the symbols of the page.
const markAt = [
  (x, y, k = 1) => `M${round(x - 6.5 * k)} ${round(y + 5 * k)}h${13 * k}l${-6.5 * k}${-11.5 * k}z`,
  (x, y, k = 1) => `M${x} ${round(y - 6.2 * k)}l${6.2 * k} ${6.2 * k} ${-6.2 * k} ${6.2 * k} ${-6.2 * k} ${-6.2 * k}z`,
  (x, y, k = 1) => `M${round(x - 4.2 * k)} ${y}a${4.2 * k} ${4.2 * k} 0 1 0 ${8.4 * k} 0a${4.2 * k} ${4.2 * k} 0 1 0 ${-8.4 * k} 0z`,
  (x, y, k = 1) => `M${round(x - 4 * k)} ${round(y - 4 * k)}l${8 * k} ${8 * k}m0 ${-8 * k}l${-8 * k} ${8 * k}`,
];

Object.assign(state, { exception: -1, shown: [], worst: new Uint8Array(structureCount).fill(clean) });

// Decisions, dates, remarks and what is carried through, by exception.
const decided = source.exceptions.decision ? [{ name: 'Decision', values: source.exceptions.decision }, { name: 'Decided', values: source.exceptions.decided }] : [];
const carried = [...decided, ...(source.carried || [])].map(({ name, values }) => ({ name, values: counts(values) }));
const photos = counts(source.exceptions.photos);
const closed = counts(source.exceptions.closed);
const decisionOf = (e) => decided.map(({ values }) => text(values[e])).filter(Boolean).join('; ');
