
// Routes and borders drawn no finer than the screen shows: what Douglas and Peucker's rule leaves out at a tolerance.

// tolerances are those from which on each point of a course may be left out; infinite for its ends.
function tolerances(lon, lat) {
  const n = lon.length, out = new Float64Array(n), open = n > 2 ? [[0, n - 1, Infinity]] : [];
  if (n) { out[0] = Infinity; out[n - 1] = Infinity; }
  const across = Math.max(0.01, Math.cos(((lat[0] || 0) * Math.PI) / 180));
  while (open.length) {
    const [first, last, upTo] = open.pop();
    const x0 = lon[first], y0 = lat[first], dx = (lon[last] - x0) * across, dy = lat[last] - y0, length = dx * dx + dy * dy;
    let at = -1, most = 0;
    for (let i = first + 1; i < last; i++) {
      let x = (lon[i] - x0) * across, y = lat[i] - y0;
      const share = length > 0 ? Math.min(Math.max((x * dx + y * dy) / length, 0), 1) : 0;
      x -= share * dx; y -= share * dy;
      if (x * x + y * y > most) { most = x * x + y * y; at = i; }
    }
    if (at < 0) continue;
    out[at] = Math.min(upTo, Math.sqrt(most));
    if (at - first > 1) open.push([first, at, out[at]]);
    if (last - at > 1) open.push([at, last, out[at]]);
  }
  return out;
}

const boxAround = (lon, lat) => {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < lon.length; i++) {
    if (!(lon[i] === lon[i]) || !(lat[i] === lat[i])) continue;
    if (lon[i] < box[0]) box[0] = lon[i];
    if (lon[i] > box[2]) box[2] = lon[i];
    if (lat[i] < box[1]) box[1] = lat[i];
    if (lat[i] > box[3]) box[3] = lat[i];
  }
  return box;
};

// courseOf is where a line runs as far as positions are known: from its own route where the page has one, else past its structures.
// ahead[i] is 0 where nothing leads on from a point to the next.
function courseOf(line) {
  if (line.course) return line.course;
  const lon = [], lat = [], ahead = [];
  if (line.route) {
    line.course = { ...line.route, tolerance: tolerances(line.route.lon, line.route.lat) };
    return line.course;
  }
  for (let s = line.first; s < line.end; s++) {
    if (!known(structures.lon[s]) || !known(structures.lat[s])) { if (ahead.length) ahead[ahead.length - 1] = 0; continue; }
    lon.push(structures.lon[s]); lat.push(structures.lat[s]); ahead.push(s + 1 < line.end ? structures.ahead[s] : 0);
  }
  if (line.closed && lon.length) {
    ahead[ahead.length - 1] = 1;
    lon.push(lon[0]); lat.push(lat[0]); ahead.push(0);
  }
  line.course = { lon, lat, ahead, tolerance: tolerances(lon, lat) };
  return line.course;
}

// The central share of numbers: from its lower to its upper bound.
function central(numbers, share = 0.98) {
  const sorted = Float64Array.from(numbers).sort(), rest = (1 - share) / 2, last = sorted.length - 1;
  return last < 0 ? [NaN, NaN] : [sorted[Math.floor(rest * last)], sorted[Math.ceil((1 - rest) * last)]];
}

// mainBox is the box around the central 98 % of points, with a little more; around all of them where that is not much more.
function mainBox(lon, lat) {
  const all = boxAround(lon, lat), at = Array.from(lon.keys()).filter((i) => known(lon[i]) && known(lat[i]));
  if (!at.length) return [0, 0, 0, 0];
  const [west, east] = central(at.map((i) => lon[i])), [south, north] = central(at.map((i) => lat[i]));
  const padX = 0.03 * (east - west), padY = 0.03 * (north - south);
  const box = [Math.max(all[0], west - padX), Math.max(all[1], south - padY), Math.min(all[2], east + padX), Math.min(all[3], north + padY)];
  const much = (a, b) => all[b] - all[a] > 1.3 * (box[b] - box[a]);
  return much(0, 2) || much(1, 3) ? box : all;
}

// signedArea is twice the area of a ring of lon, lat, lon, lat …, positive where it runs against the clock.
function signedArea(flat) {
  let sum = 0;
  for (let i = 0, k = flat.length - 2; i < flat.length; k = i, i += 2) sum += flat[k] * flat[i + 1] - flat[i] * flat[k + 1];
  return sum;
}

const axisOf = (flat, axis) => Float64Array.from({ length: flat.length / 2 }, (_, i) => flat[2 * i + axis]);
const flatBox = (flat) => boxAround(axisOf(flat, 0), axisOf(flat, 1));

function ringHolds(flat, x, y) {
  let inside = false;
  for (let i = 0, k = flat.length - 2; i < flat.length; k = i, i += 2) {
    if ((flat[i + 1] > y) !== (flat[k + 1] > y) && x < flat[i] + ((y - flat[i + 1]) / (flat[k + 1] - flat[i + 1])) * (flat[k] - flat[i])) inside = !inside;
  }
  return inside;
}

// wound turns the rings of a shape so that those that bound it run one way and holes the other: then shapes can be drawn as one.
function wound(rings) {
  const boxes = rings.length > 1 ? rings.map(flatBox) : [];
  return rings.map((ring, i) => {
    const around = (b) => b[0] <= ring[0] && b[2] >= ring[0] && b[1] <= ring[1] && b[3] >= ring[1];
    const depth = rings.filter((other, k) => k !== i && around(boxes[k]) && ringHolds(other, ring[0], ring[1])).length;
    if ((signedArea(ring) > 0) === (depth % 2 === 0)) return ring;
    const turned = new Float64Array(ring.length);
    for (let k = 0; k < ring.length; k += 2) { turned[k] = ring[ring.length - 2 - k]; turned[k + 1] = ring[ring.length - 1 - k]; }
    return turned;
  });
}
