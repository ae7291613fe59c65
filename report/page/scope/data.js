// The scenarios of the page, see page_scope_data.go: what each comes to at the structures of its lines.

const states = ['no remedy serves', 'needs work', 'could not be judged in full', 'needs nothing'];
const countedState = (n, kind) => `${grouped(n)} ${kind === 0 ? 'that ' : ''}${n === 1 ? states[kind] : states[kind].replace('needs', 'need')}`;
const clean = states.length; // the state of a structure that the chosen scenario is not about

// The outlines of the marks of states around a point, as in the symbols of the page.
const markAt = [
  (x, y, k = 1) => `M${round(x - 5 * k)} ${round(y - 5 * k)}l${10 * k} ${10 * k}m0 ${-10 * k}l${-10 * k} ${10 * k}`,
  (x, y, k = 1) => `M${round(x - 5 * k)} ${round(y - 4 * k)}h${10 * k}l${-5 * k} ${9 * k}z`,
  (x, y, k = 1) => `M${round(x - 4.4 * k)} ${y}a${4.4 * k} ${4.4 * k} 0 1 0 ${8.8 * k} 0a${4.4 * k} ${4.4 * k} 0 1 0 ${-8.8 * k} 0z`,
  (x, y, k = 1) => `M${x} ${round(y - 5 * k)}v${10 * k}`,
];

const scenarios = source.scenarios.map((from, index) => {
  const at = sums(from.at), spread = (column) => {
    const out = new Float64Array(structureCount).fill(NaN);
    figures(column).forEach((x, i) => { out[at[i]] = x; });
    return out;
  };
  const spreadTexts = (column) => {
    const out = new Int32Array(structureCount);
    counts(column).forEach((n, i) => { out[at[i]] = n; });
    return out;
  };
  const longest = new Float64Array(structureCount).fill(NaN);
  let first = 0;
  for (const route of from.routes) {
    for (let i = first; i < first + route.drawn; i++) longest[at[i]] = route.longest === null ? NaN : route.longest;
    first += route.drawn;
  }
  return {
    zones: from.zones && from.zones.map(({ at: zone, class: then, specific }) => ({ ...zones[zone], class: then, specific })),
    index, name: from.name, link: from.link, at, lines: from.routes.map((route) => route.line), routes: from.routes, longest,
    state: counts(from.state), class: counts(from.class), site: spreadTexts(from.site), classOf: spreadTexts(from.class),
    unitsNow: spread(from.unitsNow), unitsThen: spread(from.unitsThen), lengthNow: spread(from.lengthNow), lengthThen: spread(from.lengthThen),
    longer: spreadTexts(from.longer), lower: spreadTexts(from.lower), ifLook: spreadTexts(from.ifLook), notKnown: spreadTexts(from.notKnown), hangs: spreadTexts(from.hangs), needed: spreadTexts(from.needed), fit: spreadTexts(from.fit),
    stop: spreadTexts(from.stop), why: spreadTexts(from.why), wrong: spreadTexts(from.wrong),
  };
});

// What is needed is drawn where it is not what hangs there.
for (const scenario of scenarios) {
  for (const [now, then] of [[scenario.unitsNow, scenario.unitsThen], [scenario.lengthNow, scenario.lengthThen]]) {
    then.forEach((x, s) => { if (x === now[s]) then[s] = NaN; });
  }
}

const today = { zones: zones.slice(0, source.zonesToday), class: Int32Array.from(structures.class), zone: Int32Array.from(structures.zone) };
Object.assign(state, { scenario: -1, worst: new Uint8Array(structureCount).fill(clean), marked: states.map(() => []) });
const chosenScenario = () => scenarios[state.scenario];

// takeScenario makes the structures those of a scenario: its classes, and what it comes to at each.
function takeScenario(index) {
  const scenario = scenarios[index];
  state.scenario = index;
  state.worst.fill(clean);
  state.marked = states.map(() => []);
  structures.class.set(today.class);
  structures.zone.set(today.zone);
  structures.site = scenario.site;
  takeZones(scenario.zones || today.zones);
  scenario.at.forEach((s, i) => {
    state.worst[s] = scenario.state[i];
    state.marked[scenario.state[i]].push(s);
    structures.class[s] = scenario.classOf[s];
    if (scenario.site[s]) structures.zone[s] = -1;
  });
  for (const line of lines) line.assessed = scenario.lines.includes(line.index);
}
