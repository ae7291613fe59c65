
// Moving the map, by pointer, fingers, wheel and keys: one finger scrolls the page, two move and stretch the map.

// pinched is how two fingers that were at a and b and are at c and d moved and stretched what lies under them.
const pinched = (a, b, c, d) => ({
  factor: Math.hypot(d[0] - c[0], d[1] - c[1]) / Math.max(1, Math.hypot(b[0] - a[0], b[1] - a[1])),
  from: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], to: [(c[0] + d[0]) / 2, (c[1] + d[1]) / 2],
});

// twoFingers keeps the page from taking the moves of two fingers on a drawing.
function twoFingers(box) {
  for (const kind of ['touchstart', 'touchmove']) box.addEventListener(kind, (event) => { if (event.touches.length > 1) event.preventDefault(); }, { passive: false });
}

const wheelFactor = (event) => Math.exp(-Math.max(-240, Math.min(240, event.deltaY * (event.deltaMode === 1 ? 30 : 1))) / 420);

// chooseLine shows a line as the list of lines does.
function chooseLine(line) {
  const select = byId('line');
  select.value = String(line.index);
  if (select.value === String(line.index)) select.dispatchEvent(new window.Event('change'));
}

// showGroup shows what a tag counts: nearer, and where all stand on one place the gravest of them.
function showGroup(group) {
  const at = group.members.map(({ s }) => s), box = boxAround(at.map((s) => structures.lon[s]), at.map((s) => structures.lat[s]));
  const before = map.scale;
  showBox(box);
  if (map.scale <= before * 1.05) choose(group.members.reduce((worst, m) => (m.kind < worst.kind ? m : worst)).s, { from: 'map' });
}

(() => {
  let from = null, moved = false;
  const fingers = new Map();
  const at = (event) => { const r = map.box.getBoundingClientRect(); return [event.clientX - r.left - map.box.clientLeft, event.clientY - r.top - map.box.clientTop]; };
  const pointAt = (here, event) => {
    const tag = tagAt(...here), s = tag ? -1 : structureAt(...here);
    hoverOver(s, event);
    if (s < 0) tellAt(tag ? tipOfTag(tag) : tipOfLine(lineNear(...here)), event);
  };
  twoFingers(map.box);
  map.box.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    fingers.set(event.pointerId, at(event));
    from = at(event);
    moved = fingers.size > 1;
    if (event.pointerType !== 'touch' || fingers.size > 1) map.box.setPointerCapture(event.pointerId);
    map.box.focus({ preventScroll: true });
  });
  map.box.addEventListener('pointermove', (event) => {
    const here = at(event);
    if (!from) { pointAt(here, event); return; }
    if (fingers.size === 2 && fingers.has(event.pointerId)) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)[1], { factor, from: was, to } = pinched(fingers.get(event.pointerId), other, here, other);
      fingers.set(event.pointerId, here);
      moved = true;
      moveMap(to[0] - was[0], to[1] - was[1]);
      zoomAt(factor, ...to);
      return;
    }
    fingers.set(event.pointerId, here);
    if (!moved && Math.hypot(here[0] - from[0], here[1] - from[1]) < 4) return;
    moved = true;
    if (event.pointerType === 'touch') return;
    map.box.classList.add('dragged');
    hoverOver(-1);
    moveMap(here[0] - from[0], here[1] - from[1]);
    from = here;
  });
  const chooseAt = (here) => {
    const tag = tagAt(...here), s = tag ? -1 : structureAt(...here), line = tag || s >= 0 ? undefined : lineNear(...here);
    if (tag) showGroup(tag);
    else if (s >= 0) choose(s, { from: 'map' });
    else if (line) chooseLine(line);
  };
  const release = (event) => {
    fingers.delete(event.pointerId);
    if (from && !moved && event.type === 'pointerup') chooseAt(at(event));
    if (!fingers.size) from = null;
    map.box.classList.remove('dragged');
  };
  map.box.addEventListener('pointerup', release);
  map.box.addEventListener('pointercancel', release);
  map.box.addEventListener('pointerleave', () => { hoverOver(-1); tellAt([]); });
  map.box.addEventListener('wheel', (event) => {
    event.preventDefault();
    zoomAt(wheelFactor(event), ...at(event));
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
  const switches = (id, part, there) => {
    const button = byId(id);
    button.hidden = !there;
    button.addEventListener('click', () => {
      map[part] = !map[part];
      button.setAttribute('aria-pressed', String(map[part]));
      drawMap();
    });
  };
  switches('zone-switch', 'zones', zones.length > 0);
  switches('place-switch', 'places', places.name.length > 0);
})();
