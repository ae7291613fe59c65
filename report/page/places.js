
// Names of places: faint, below all marks, and only where nothing else is written.

const places = source.places ? { name: counts(source.places.name), lon: sums(source.places.lon, 1e-6), lat: sums(source.places.lat, 1e-6) } : { name: [], lon: [], lat: [] };

// placeWidth is at least as wide as a name is set, of letters of any script.
function placeWidth(name, size = 11) {
  let ems = 0;
  for (const letter of name) ems += /\p{M}/u.test(letter) ? 0 : letter < '\u0250' ? (/[mwMW@%\u00a0-\u024f]/.test(letter) ? 0.95 : 0.66) : letter < '\u1100' ? 0.9 : letter < '\uffff' ? 1.1 : 1.5;
  return ems * size + 4;
}

// placeSpots are where a name may stand, the best first: right of its dot, left, above and below. Each is the middle of the text, with its box.
function placeSpots(x, y, width) {
  return [[x + 6 + width / 2, y], [x - 6 - width / 2, y], [x, y - 11], [x, y + 11]].map(([cx, cy]) => ({ x: cx, y: cy + 4, box: [cx - width / 2, cy - 7, cx + width / 2, cy + 7] }));
}

const mostPlaceNames = 60;
const placeDot = 2;

// placeNames chooses which of points {x, y, name}, the most important first, are named and where. place takes boxes where all of them are free.
function placeNames(points, place, most = mostPlaceNames) {
  const out = [];
  for (const { x, y, name } of points) {
    if (out.length >= most) break;
    const dot = [x - placeDot - 1, y - placeDot - 1, x + placeDot + 1, y + placeDot + 1];
    const spot = placeSpots(x, y, placeWidth(name)).find(({ box }) => place([dot, box]));
    if (spot) out.push({ name, dot: [x, y], x: spot.x, y: spot.y, box: spot.box });
  }
  return out;
}

// drawPlaces writes what names have room in view beside all other words and marks, below these.
function drawPlaces(place) {
  const points = [];
  for (let i = 0; map.places && i < places.name.length; i++) {
    const x = mapX(places.lon[i]), y = mapY(places.lat[i]);
    if (x > edge && x < map.width - edge && y > edge && y < map.height - foot) points.push({ x, y, name: shortened(text(places.name[i]), 32) });
  }
  const named = placeNames(points, place), r = placeDot;
  const dots = named.map(({ dot: [x, y] }) => `M${round(x - r)} ${round(y)}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`).join('');
  map.layers.places.replaceChildren(...(dots ? [drawn('path', { class: 'place-dot', d: dots })] : []),
    ...named.map(({ name, x, y }) => drawn('text', { class: 'halo middle place-name', x: round(x), y: round(y) }, name)));
}
