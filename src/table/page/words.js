// The words on the ground: as large on the screen as can be read, however far off the pieces are seen. The name of a piece and how
// it fits always stand there; of the others those that have room, and more of them the nearer they are seen.

/** A box that may stand askew: its middle, half its sides, and which way it runs; mm. @typedef {{ x: number, y: number, across: number, down: number, turn: number }} Box */
/** A text as it was drawn. @typedef {{ text: SVGTextElement, size: number, wide: number, x: number, y: number, lies: DOMMatrix }} Drawn */
/** What of the ground words keep clear of: whose it is, its box, its outline, and how far it is moved. @typedef {{ of: Element, box: Box, path: Path2D, shift: [number, number] }} Paper */
/** Where words may stand: their lines, and the middle of them, or their beginning or end where they stand beside it; mm. @typedef {{ lines: string[], x: number, y: number, beside: -1 | 0 | 1 }} Stand */

/** The size of words, of that of the page's letters: the least, that of the names of pieces, and the most. */
const [LEAST, NAMES, MOST] = [0.7, 0.78, 1.3];
/** How many times larger than they were drawn words are still set: those that would be larger are for when they are seen nearer. */
const LARGER = 4.5;
/** How far above its baseline a line's middle is, and how far apart lines are, of their size. */
const [MIDDLE, LINE] = [0.34, 1.15];
/** Room between words, and around a dot that is taken hold of, pixels. */
const [APART, AROUND] = [2, 5];

const measure = document.createElement("canvas").getContext("2d");

/** How wide a text of a font is, of its size. @param {string} text @param {string} family */
function wide(text, family) {
  if (!measure) return text.length / 2;
  measure.font = `100px ${family}`;
  return measure.measureText(text).width / 100;
}

/** @type {WeakMap<SVGTextElement, Drawn>} */
const known = new WeakMap();

/** @param {SVGTextElement} text @returns {Drawn} */
function asDrawn(text) {
  const before = known.get(text);
  if (before) return before;
  const number = (/** @type {string} */ name) => Number(text.getAttribute(name) ?? 0);
  const lies = text.transform.baseVal.consolidate()?.matrix;
  const now = { text, size: number("font-size"), wide: number("textLength"), x: number("x"), y: number("y"), lies: lies ? new DOMMatrix([lies.a, lies.b, lies.c, lies.d, lies.e, lies.f]) : new DOMMatrix() };
  known.set(text, now);
  return now;
}

/** Corners of a box. @param {Box} box */
function corners({ x, y, across, down, turn }) {
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  return [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([i, j]) => [x + i * across * cos - j * down * sin, y + i * across * sin + j * down * cos]);
}

/** Whether two boxes lie on each other. @param {Box} one @param {Box} other */
function meet(one, other) {
  if (Math.hypot(one.x - other.x, one.y - other.y) > Math.hypot(one.across, one.down) + Math.hypot(other.across, other.down)) return false;
  const [a, b] = [corners(one), corners(other)];
  return [one.turn, one.turn + Math.PI / 2, other.turn, other.turn + Math.PI / 2].every((turn) => {
    const along = (/** @type {number[][]} */ all) => all.map(([x, y]) => x * Math.cos(turn) + y * Math.sin(turn));
    const [from, to] = [along(a), along(b)];
    return Math.min(...from) < Math.max(...to) && Math.min(...to) < Math.max(...from);
  });
}

/** What two boxes share, mm²; of those that stand askew what the boxes around them share. @param {Box} one @param {Box} other */
function shared(one, other) {
  const upright = (/** @type {Box} */ { across, down, turn }) => {
    const [cos, sin] = [Math.abs(Math.cos(turn)), Math.abs(Math.sin(turn))];
    return [across * cos + down * sin, across * sin + down * cos];
  };
  const [[a0, a1], [b0, b1]] = [upright(one), upright(other)];
  const across = Math.min(one.x + a0, other.x + b0) - Math.max(one.x - a0, other.x - b0);
  const down = Math.min(one.y + a1, other.y + b1) - Math.max(one.y - a1, other.y - b1);
  return Math.max(across, 0) * Math.max(down, 0);
}

/** Whether a box lies within a piece. @param {Box} box @param {Paper} paper */
function isWithin(box, { path, shift: [x, y] }) {
  const all = corners(box);
  const places = all.flatMap((corner, i) => [corner, [(corner[0] + all[(i + 1) % 4][0]) / 2, (corner[1] + all[(i + 1) % 4][1]) / 2]]);
  return places.every((place) => measure?.isPointInPath(path, place[0] - x, place[1] - y));
}

/** How much worse than over another piece it is for words to lie under it, and on other words or out of sight. */
const [COVERED, ON_WORDS] = [3, 5];

/** How bad it is that words of one piece lie on another, which may lie over them. @param {Element} other @param {Element} of */
const covers = (other, of) => (of.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING ? COVERED : 1);

/** How far a group is moved. @param {Element} group @returns {[number, number]} */
function shiftOf(group) {
  const lies = /** @type {SVGGraphicsElement} */ (group).transform?.baseVal.consolidate()?.matrix;
  return [lies?.e ?? 0, lies?.f ?? 0];
}

/** The papers of a group. @param {Element} of @returns {Paper[]} */
function papersOf(of) {
  const shift = shiftOf(of);
  const lines = /** @type {SVGGraphicsElement[]} */ ([...of.querySelectorAll(".paper, path.cloth")]);
  return lines.map((line) => {
    const { x, y, width, height } = line.getBBox();
    const box = { x: x + width / 2 + shift[0], y: y + height / 2 + shift[1], across: width / 2, down: height / 2, turn: 0 };
    return { of, box, path: new Path2D(line.getAttribute("d") ?? ""), shift };
  });
}

/** Lines of words that are no wider than something where that can be: broken behind hyphens and blanks. @param {string} text @param {number} most of their size @param {string} family */
function broken(text, most, family) {
  /** @type {string[]} */
  const lines = [];
  for (const part of text.split(/(?<=[- ])/)) {
    const longer = (lines.at(-1) ?? "") + part;
    if (lines.length > 0 && wide(longer.trim(), family) <= most) lines[lines.length - 1] = longer;
    else lines.push(part);
  }
  return lines.map((line) => line.trim());
}

/** What lies on the ground by its squares, so that of very many pieces only those near are looked at. @template {{ of: Element, box: Box }} T */
class Lying {
  /** @param {number} square how wide squares are, mm */
  constructor(square) {
    this.square = square;
    /** @type {Map<string, T[]>} */
    this.squares = new Map();
  }

  /** @param {Box} box */
  squaresOf({ x, y, across, down, turn }) {
    const far = turn === 0 ? [across, down] : [Math.hypot(across, down), Math.hypot(across, down)];
    const [from, to] = [[x - far[0], y - far[1]], [x + far[0], y + far[1]]].map((corner) => corner.map((at) => Math.floor(at / this.square)));
    const all = [];
    for (let i = from[0]; i <= to[0]; i += 1) for (let j = from[1]; j <= to[1]; j += 1) all.push(`${i} ${j}`);
    return all;
  }

  /** @param {T} one */
  add(one) {
    for (const square of this.squaresOf(one.box)) this.squares.set(square, [...(this.squares.get(square) ?? []), one]);
  }

  /** All that may lie on a box. @param {Box} box */
  near(box) {
    return [...new Set(this.squaresOf(box).flatMap((square) => this.squares.get(square) ?? []))];
  }

  /** All of it. */
  all() {
    return [...new Set([...this.squares.values()].flat())];
  }
}

/** How wide squares of the ground are, pixels, and at least, mm: there are not more of them the nearer one looks. */
const [SQUARE, LEAST_SQUARE] = [120, 150];

/** Words of pieces and cloths, set for how many mm a pixel is. */
export class Words {
  /** @param {Element[]} groups @param {number} scale @param {Box | null} seen what is seen, where they are to keep to that @param {Words | null} [beside] words that stand there already, of pieces that are not under these */
  constructor(groups, scale, seen, beside = null) {
    this.seen = seen;
    const letters = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) * scale;
    this.sizes = { least: LEAST * letters, names: NAMES * letters, most: MOST * letters };
    this.room = APART * scale;
    const square = Math.max(SQUARE * scale, LEAST_SQUARE);
    const isSeen = (/** @type {{ of: Element }} */ { of }) => !of.classList.contains("under");
    /** Words that are set, and of what. @type {Lying<{ of: Element, box: Box }>} */
    this.set = new Lying(square);
    for (const one of beside?.set.all().filter(isSeen) ?? []) this.set.add(one);
    /** @type {Map<Element, Paper>} */
    this.own = new Map(groups.flatMap(papersOf).map((paper) => [paper.of, paper]));
    /** @type {Lying<Paper>} */
    this.papers = new Lying(square);
    for (const paper of [...(beside?.papers.all().filter(isSeen) ?? []), ...this.own.values()]) this.papers.add(paper);
    /** The names of pieces as they were drawn. @type {Set<SVGTextElement>} */
    this.names = new Set();
    /** What is written when all of it is known: a page that is read and written in turns is laid out anew each time. @type {(() => void)[]} */
    this.writes = [];
    for (const group of groups) this.keepClearOfDots(group, AROUND * scale);
    for (const group of groups) this.setName(group);
    for (const group of groups) this.setFit(group);
    const others = groups.flatMap((group) => [...group.querySelectorAll(".as-drawn text")].map((text) => ({ group, drawn: asDrawn(/** @type {SVGTextElement} */ (text)) })));
    // Above a cloth that which is nearer to it is set first.
    others.sort((a, b) => b.drawn.size - a.drawn.size || b.drawn.y - a.drawn.y);
    for (const { group, drawn } of others) if (!this.names.has(drawn.text)) this.setOther(drawn, group);
    for (const write of this.writes) write();
  }

  /** Has words keep clear of the dots of a piece that are seen. @param {Element} of @param {number} around mm */
  keepClearOfDots(of, around) {
    if (of.classList.contains("dotless")) return;
    const [x, y] = shiftOf(of);
    for (const dot of /** @type {NodeListOf<SVGGeometryElement>} */ (of.querySelectorAll(":scope > .grip"))) {
      const at = dot.getPointAtLength(0);
      this.set.add({ of, box: { x: at.x + x, y: at.y + y, across: around, down: around, turn: 0 } });
    }
  }

  /** Whether a box lies on words, or on another piece than its own. @param {Box} box @param {Element} of */
  isTaken(box, of) {
    const roomy = { ...box, across: box.across + this.room };
    return this.beyond(box) > 0 || this.set.near(roomy).some((other) => meet(roomy, other.box)) || this.papers.near(box).some((other) => other.of !== of && meet(box, other.box));
  }

  /** How much of a box is not seen, mm². @param {Box} box */
  beyond(box) {
    if (!this.seen) return 0;
    const whole = shared(box, box);
    const is = whole - shared(box, this.seen);
    return is > 0.01 * whole ? is : 0;
  }

  /** Sets words upright, on several lines where that is better, where they hide least; the first of such places. @param {SVGTextElement} text @param {Element} of @param {number} size @param {string} family @param {Stand[]} stands */
  setWhere(text, of, size, family, stands) {
    const rated = stands.map((stand) => {
      const across = (Math.max(...stand.lines.map((line) => wide(line, family))) * size) / 2;
      /** @type {Box} */
      const box = { x: stand.x + stand.beside * across, y: stand.y, across: across + this.room, down: (stand.lines.length * LINE * size) / 2, turn: 0 };
      const words = this.set.near(box).reduce((sum, other) => sum + shared(box, other.box), 0);
      const papers = this.papers.near(box).reduce((sum, other) => sum + (other.of === of ? 0 : covers(other.of, of) * shared(box, other.box)), 0);
      return { stand, box, hides: ON_WORDS * (words + this.beyond(box)) + papers };
    });
    rated.sort((a, b) => a.hides - b.hides);
    const [{ stand, box }] = rated;
    this.set.add({ of, box });
    const [x, y] = shiftOf(of);
    const own = this.own.get(of);
    const isOnPaper = own !== undefined && measure?.isPointInPath(own.path, box.x - x, box.y - y) === true;
    const first = box.y - y - ((stand.lines.length - 1) / 2) * LINE * size + MIDDLE * size;
    this.writes.push(() => {
      const lines = stand.lines.map((line, i) => {
        const made = document.createElementNS("http://www.w3.org/2000/svg", "tspan");
        for (const [name, value] of Object.entries({ x: box.x - x, y: first + i * LINE * size })) made.setAttribute(name, String(value));
        made.textContent = line;
        return made;
      });
      text.replaceChildren(...lines);
      text.classList.toggle("on-paper", isOnPaper);
      text.setAttribute("font-size", String(size));
      text.setAttribute("stroke-width", String(2 * this.room));
    });
  }

  /** The name of a piece: as it was drawn where it has room there, otherwise upright on its middle, or beside it. @param {Element} of */
  setName(of) {
    const text = /** @type {SVGTextElement | null} */ (of.querySelector(":scope > .name"));
    const paper = this.own.get(of);
    if (!text || !paper) return;
    const name = text.dataset.says ?? "";
    const own = /** @type {SVGTextElement | undefined} */ ([...of.querySelectorAll(".as-drawn text")].find((one) => one.textContent === name));
    if (own) {
      this.names.add(own);
      this.writes.push(() => own.classList.add("own-name"));
    }
    if (own && this.setAsDrawn(asDrawn(own), of, this.sizes.names)) {
      this.writes.push(() => text.replaceChildren());
      return;
    }
    if (own) this.writes.push(() => own.classList.add("left-out"));
    const { x, y, across, down } = paper.box;
    const [size, { fontFamily: family }] = [this.sizes.names, getComputedStyle(text)];
    const forms = [[name], broken(name, (2 * across) / size, family)];
    const stands = forms.flatMap((lines) => {
      const half = (lines.length * LINE * size) / 2;
      const above = [0, -0.6, 0.6].map((by) => ({ lines, x, y: y + by * Math.max(down - half, 0), beside: /** @type {const} */ (0) }));
      return [...above, { lines, x, y: y - down - half, beside: /** @type {const} */ (0) }, { lines, x: x + across, y, beside: /** @type {const} */ (1) }, { lines, x: x - across, y, beside: /** @type {const} */ (-1) }];
    });
    this.setWhere(text, of, size, family, stands);
  }

  /** How a piece fits: below it, or at its lower end. @param {Element} of */
  setFit(of) {
    const text = /** @type {SVGTextElement | null} */ (of.querySelector(":scope > .fit"));
    const paper = this.own.get(of);
    if (!text || !paper) return;
    const says = text.dataset.says ?? "";
    const [x, foot] = (text.dataset.foot ?? "0 0").split(" ").map(Number).map((place, i) => place + paper.shift[i]);
    const [size, { fontFamily: family }] = [this.sizes.least, getComputedStyle(text)];
    const forms = [[says], broken(says, wide(says, family) / 1.6, family), broken(says, (2 * paper.box.across) / size, family), [says.split(",")[0]]];
    const stands = forms.flatMap((lines) => [0.1, -1.1 * lines.length, 1.1].map((below) => ({ lines, x, y: foot + (lines.length / 2 + below) * LINE * size, beside: /** @type {const} */ (0) })));
    const { y, across } = paper.box;
    this.setWhere(text, of, size, family, [...stands, { lines: [says], x: x + across, y, beside: /** @type {const} */ (1) }]);
  }

  /** Sets a text as it was drawn, as large as it is read, where it has room there. Whether it has. @param {Drawn} drawn @param {Element} of @param {number} least its least size @param {[number, number]} [by] how far it is moved, along and down its line */
  setAsDrawn({ text, size, wide: length, x, y, lies }, of, least, [along, down] = [0, 0]) {
    const now = Math.min(Math.max(size, least), this.sizes.most);
    if (now > LARGER * size) return false;
    const [shiftX, shiftY] = shiftOf(of);
    const middle = new DOMPoint(x + along, y - MIDDLE * size + down).matrixTransform(lies);
    /** @type {Box} */
    const box = { x: middle.x + shiftX, y: middle.y + shiftY, across: (length * now) / size / 2, down: now / 2, turn: Math.atan2(lies.b, lies.a) };
    if (this.isTaken(box, of)) return false;
    const paper = this.own.get(of);
    const isOfCloth = of.matches("[role=img]");
    const placed = new DOMPoint(x, y - MIDDLE * size).matrixTransform(lies);
    if (paper && now > size && !isOfCloth && !isWithin(box, paper)) return false;
    if (paper && isOfCloth && this.isOnEdge(box, paper, { x: placed.x, y: placed.y, across: length / 2, down: size / 2 })) return false;
    this.set.add({ of, box });
    const about = { "font-size": now, textLength: 2 * box.across, x: x + along, y: y + down + MIDDLE * (now - size), "stroke-width": 2 * this.room };
    this.writes.push(() => {
      for (const [name, value] of Object.entries(about)) text.setAttribute(name, String(value));
      text.classList.remove("left-out");
    });
    return true;
  }

  /** Whether words that were drawn beside a cloth would lie on its edge. @param {Box} box @param {Paper} cloth @param {{ x: number, y: number, across: number, down: number }} drawn */
  isOnEdge(box, cloth, drawn) {
    const [x, y] = cloth.shift;
    const wasBeside = !isWithin({ ...box, ...drawn, x: drawn.x + x, y: drawn.y + y }, cloth);
    return wasBeside && shared({ ...box, across: box.across + this.room, down: box.down + this.room }, cloth.box) > 0;
  }

  /** Any other words: where they have room as they were drawn, or a little beside. @param {Drawn} drawn @param {Element} of */
  setOther(drawn, of) {
    const { least } = this.sizes;
    const grown = Math.max(least - drawn.size, 0);
    const wider = (drawn.wide * grown) / drawn.size / 2;
    /** @type {[number, number][]} */
    const beside = grown > 0 ? [[0, 0], [0, grown / 2], [0, -grown / 2], [0, grown], [0, -grown], [wider, 0], [-wider, 0]] : [[0, 0]];
    if (of.matches("[role=img]")) beside.push([0, -1.5 * grown], [0, -2 * grown]);
    if (!beside.some((by) => this.setAsDrawn(drawn, of, least, by))) this.writes.push(() => drawn.text.classList.add("left-out"));
  }
}
