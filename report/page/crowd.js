
// Room on a drawing: boxes that may not lie on each other, marks that are gathered where they would, and labels along routes.

// Crowd remembers which boxes [left, top, right, bottom] are taken.
class Crowd {
  constructor(cell = 48) { this.cell = cell; this.cells = new Map(); }

  each(box, visit) {
    const c = this.cell;
    for (let x = Math.floor(box[0] / c); x <= Math.floor(box[2] / c); x++) {
      for (let y = Math.floor(box[1] / c); y <= Math.floor(box[3] / c); y++) if (visit(`${x} ${y}`)) return true;
    }
    return false;
  }

  // lies is what of the taken lies under a box, null for nothing.
  lies(box) {
    let found = null;
    this.each(box, (key) => {
      found = (this.cells.get(key) || []).find(({ box: b }) => b[0] < box[2] && b[2] > box[0] && b[1] < box[3] && b[3] > box[1]) || null;
      return found;
    });
    return found;
  }

  take(box, what) {
    this.each(box, (key) => {
      if (!this.cells.has(key)) this.cells.set(key, []);
      this.cells.get(key).push({ box, what });
    });
  }

  // takeFree takes boxes where all of them are free.
  takeFree(...boxes) {
    if (boxes.some((box) => this.lies(box))) return false;
    for (const box of boxes) this.take(box);
    return true;
  }
}

const markSize = 13, tagHeight = 18;
const tagParts = (kinds) => kinds.map((n, kind) => ({ n, kind })).filter(({ n }) => n > 0);
const tagWidth = (kinds) => 5 + tagParts(kinds).reduce((sum, { n }) => sum + 20 + 6.6 * grouped(n).length, 0);
const boxOf = (group) => {
  const w = group.members.length > 1 ? tagWidth(group.kinds) : markSize, h = group.members.length > 1 ? tagHeight : markSize;
  return [group.x - w / 2, group.y - h / 2, group.x + w / 2, group.y + h / 2];
};

// gathered puts points {x, y, kind} that would lie on each other into groups {x, y, kinds, members} whose boxes do not; kinds counts the
// members of each kind, and no point is lost. A group of one is a mark, one of more a tag; no tag lies on the box that is kept free, if there is one.
function gathered(points, kindCount, free = null, room = [110, 76]) {
  const fine = new Map(), keyOf = (x, y, w, h) => Math.floor(x / w) * 100003 + Math.floor(y / h);
  for (const p of points) {
    const key = keyOf(p.x, p.y, markSize, markSize);
    if (!fine.has(key)) fine.set(key, []);
    fine.get(key).push(p);
  }
  const close = (p) => {
    let others = 0;
    for (const dx of [-markSize, 0, markSize]) {
      for (const dy of [-markSize, 0, markSize]) {
        for (const q of fine.get(keyOf(p.x + dx, p.y + dy, markSize, markSize)) || []) {
          if (Math.abs(q.x - p.x) < markSize && Math.abs(q.y - p.y) < markSize && ++others > 1) return true;
        }
      }
    }
    return false;
  };
  const groups = [], wide = new Map();
  const begin = () => ({ x: 0, y: 0, kinds: new Array(kindCount).fill(0), members: [] });
  const join = (group, p) => {
    const n = group.members.push(p);
    group.kinds[p.kind]++;
    group.x += (p.x - group.x) / n;
    group.y += (p.y - group.y) / n;
  };
  for (const p of points) {
    if (!close(p)) { const alone = begin(); join(alone, p); groups.push(alone); continue; }
    const key = keyOf(p.x, p.y, room[0], room[1]);
    if (!wide.has(key)) { wide.set(key, begin()); groups.push(wide.get(key)); }
    join(wide.get(key), p);
  }
  return apart(groups, free);
}

const meet = (a, b) => a[0] < b[2] && a[2] > b[0] && a[1] < b[3] && a[3] > b[1];

// besideFree moves a tag off the box that is kept free, as little as that takes, where there is room to a place where nothing lies.
function besideFree(group, free, crowd) {
  const box = boxOf(group);
  if (!free || group.members.length < 2 || !meet(box, free)) return;
  const ways = [[free[0] - box[2], 0], [free[2] - box[0], 0], [0, free[1] - box[3]], [0, free[3] - box[1]]].sort((a, b) => Math.abs(a[0] + a[1]) - Math.abs(b[0] + b[1]));
  const [dx, dy] = ways.find(([x, y]) => !crowd.lies([box[0] + x, box[1] + y, box[2] + x, box[3] + y])) || ways[0];
  group.x += dx;
  group.y += dy;
}

// apart joins groups until no box lies on another; the larger keeps its place, but off the box that is kept free.
function apart(groups, free) {
  for (;;) {
    const crowd = new Crowd(), kept = [];
    groups.sort((a, b) => b.members.length - a.members.length || a.x - b.x || a.y - b.y);
    for (const group of groups) {
      besideFree(group, free, crowd);
      const box = boxOf(group), under = crowd.lies(box);
      if (!under) { crowd.take(box, group); kept.push(group); continue; }
      under.what.members.push(...group.members);
      group.kinds.forEach((n, kind) => { under.what.kinds[kind] += n; });
    }
    if (kept.length === groups.length) return kept;
    groups = kept;
  }
}

const textWidth = (t, size = 11) => 0.6 * size * t.length + 2;

// alongCourse offers places for a label of a width along points [x, y]: middles of stretches that are all but straight, with their angle in
// degrees, the middle of the course first.
function alongCourse(points, width) {
  const run = [0];
  for (let i = 1; i < points.length; i++) run.push(run[i - 1] + Math.hypot(points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]));
  const whole = run[run.length - 1] || 0, out = [];
  if (whole < width) return out;
  const at = (d) => {
    let i = 1;
    while (i < run.length - 1 && run[i] < d) i++;
    const share = run[i] > run[i - 1] ? (d - run[i - 1]) / (run[i] - run[i - 1]) : 0;
    return [points[i - 1][0] + share * (points[i][0] - points[i - 1][0]), points[i - 1][1] + share * (points[i][1] - points[i - 1][1])];
  };
  for (const share of [0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78, 0.14, 0.86, 0.05, 0.95]) {
    const middle = Math.min(Math.max(share * whole, width / 2), whole - width / 2);
    const a = at(middle - width / 2), b = at(middle + width / 2), chord = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (chord < 0.94 * width) continue;
    let angle = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
    if (angle > 90) angle -= 180;
    if (angle <= -90) angle += 180;
    out.push({ x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2, angle });
  }
  return out;
}

// tiltedBoxes are small boxes that together cover a label at an angle.
function tiltedBoxes({ x, y, angle }, width, height = 12) {
  const count = Math.max(1, Math.ceil(width / height)), cos = Math.cos((angle * Math.PI) / 180), sin = Math.sin((angle * Math.PI) / 180);
  return Array.from({ length: count }, (_, i) => {
    const d = (i + 0.5 - count / 2) * (width / count), cx = x + d * cos, cy = y + d * sin;
    return [cx - height / 2, cy - height / 2, cx + height / 2, cy + height / 2];
  });
}

// densityLevels are two round figures that part lines by exceptions per km: half of those with any lie below the first, few above the second.
function densityLevels(densities) {
  const some = densities.filter((d) => d > 0).sort((a, b) => a - b);
  if (!some.length) return [];
  const rounded = (x) => {
    const power = 10 ** Math.floor(Math.log10(x)), step = x / power;
    return Number(((step < 1.5 ? 1 : step < 3.5 ? 2 : step < 7.5 ? 5 : 10) * power).toPrecision(2));
  };
  const low = rounded(some[Math.floor(some.length / 2)]), high = rounded(some[Math.floor(0.9 * (some.length - 1))]);
  return high > low ? [low, high] : [low];
}

// densityLevel is 0 for a line without exceptions, else one more than the levels it reaches.
const densityLevel = (density, levels) => (density > 0 ? 1 + levels.filter((level) => density >= level).length : 0);
