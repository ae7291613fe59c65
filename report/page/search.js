// What the table is asked for, what answers it, and that as values: nothing here draws.

// folded is a text as it is looked for: in lower case, without accents and strokes.
const folded = (t) => t.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '').replace(/[łøđ]/g, (c) => 'lod'['łøđ'.indexOf(c)]);

// wordsOf are the words that are typed; what stands in quotes is one, also while its end is still to come.
const wordsOf = (typed) => Array.from(folded(typed).matchAll(/["“„]([^"”“]*)["”“]?|\S+/g), ([word, phrase = word]) => phrase.trim()).filter(Boolean);

const placeText = (e) => {
  const at = exceptions.at[e], to = exceptions.to[e], line = lines[exceptions.line[e]].name;
  if (at < 0) return line;
  return `${line}, ${text(structures.number[at])}${to < 0 ? '' : ` – ${text(structures.number[to])}`}`;
};
const tagsOf = (e) => text(exceptions.detail[e]).split('\n').filter(Boolean);
// remedyOf says what mends a finding: the work of its structure where that is for it, else what its check advises.
const remedyOf = (e) => {
  const by = exceptions.job[e], check = checks[exceptions.check[e]];
  return by === 1 ? text(structures.work[exceptions.at[e]]) : by > 1 ? check.otherwise[by - 2] : check.remedy;
};

// What words are looked for in is made once, and folded as they are.
const index = {};

const haystack = () => (index.findings ||= Array.from({ length: exceptionCount }, (_, e) => {
  const { id, title } = checks[exceptions.check[e]];
  return folded([placeText(e), ...['detail', 'sentence', 'installed'].map((k) => text(exceptions[k][e])), remedyOf(e), id, title, severities[exceptions.severity[e]], changes[exceptions.state[e]], ...carried.map(({ values }) => text(values[e]))].join('\n'));
}));

// findingsLeft are the findings that have all words and whatever else is asked for; what is undefined is not.
function findingsLeft({ words = [], severity = [true, true, true], check, line, change, texts = [] }) {
  const left = [], hay = words.length ? haystack() : null;
  for (let e = 0; e < exceptionCount; e++) {
    if (!severity[exceptions.severity[e]] || (check !== undefined && exceptions.check[e] !== check) || (line !== undefined && exceptions.line[e] !== line) || (change !== undefined && exceptions.state[e] !== change)) continue;
    if (texts.some(({ values, value }) => values[e] !== value)) continue;
    if (hay && !words.every((word) => hay[e].includes(word))) continue;
    left.push(e);
  }
  return left;
}

// structuresWithout are structures without findings whose line and number have all words: the first so many, and how many there are.
function structuresWithout(words, most, line) {
  const found = { list: [], count: 0 };
  if (!words.length) return found;
  index.lines ||= lines.map((l) => folded(`${l.name}\n${l.title}`));
  index.numbers ||= Array.from(structures.number, (n) => folded(text(n)));
  for (const l of lines) {
    if (line !== undefined && l.index !== line) continue;
    const rest = words.filter((word) => !index.lines[l.index].includes(word));
    for (let s = l.first; s < l.end; s++) {
      if (atStructure.has(s) || !rest.every((word) => index.numbers[s].includes(word))) continue;
      if (found.list.length < most) found.list.push(s);
      found.count++;
    }
  }
  return found;
}

// A text that a spreadsheet would take for a formula gets an apostrophe in front; one that it would divide stands in quotes.
const guarded = (t) => (/^[=+\-@\t\r\ufeff＝＋－＠]/.test(t) ? `'${t}` : t);
const csvField = (value) => {
  const field = typeof value === 'number' ? (known(value) ? String(value) : '') : guarded(value);
  return /[,;\t"\r\n ]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field;
};

const findingNames = ['ids', 'check', 'severity', 'line', 'structure', 'structure_to', 'where', 'sentence', 'remedy', 'installed', 'margin_percent', 'state', 'first_seen'];

// valuesOf are the values of a finding by findingNames, and what is carried through.
function valuesOf(e) {
  const at = exceptions.at[e], to = exceptions.to[e], margin = exceptions.margin[e];
  return [text(exceptions.ids[e]), checks[exceptions.check[e]].id, severities[exceptions.severity[e]], lines[exceptions.line[e]].name, at < 0 ? '' : text(structures.number[at]),
    to < 0 ? '' : text(structures.number[to]), tagsOf(e).join('; '), text(exceptions.sentence[e]), remedyOf(e), text(exceptions.installed[e]), Math.round(margin * 10) / 10,
    changes[exceptions.state[e]], text(exceptions.firstSeen[e]), ...carried.map(({ values }) => text(values[e]))];
}

// csvOf are findings as RFC 4180 has them, a row each.
const csvOf = (list) => [[...findingNames, ...carried.map(({ name }) => name)], ...list.map(valuesOf)].map((row) => `${row.map(csvField).join(',')}\r\n`).join('');

// rowAsText is a finding as one row to paste into a spreadsheet or a mail.
const rowAsText = (e) => valuesOf(e).map((value) => (typeof value === 'number' ? csvField(value) : guarded(value.replace(/\s+/g, ' ')))).join('\t');
