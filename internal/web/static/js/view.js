// @ts-check
// The one transform between picture and screen. Picture coordinates are pixels
// of the upright picture from its top-left corner; screen coordinates are CSS
// pixels from the top-left corner of the stage.

/** @typedef {{ scale: number, left: number, top: number }} View scale in CSS px per picture px; left, top: screen place of the picture's corner */
/** @typedef {{ width: number, height: number }} Size */
/** @typedef {{ x: number, y: number }} Point */

/**
 * The view that shows the whole picture, centred.
 * @param {Size} picture px
 * @param {Size} stage CSS px
 * @returns {View}
 */
export function fit(picture, stage) {
  const scale = Math.min(stage.width / picture.width, stage.height / picture.height);
  return {
    scale,
    left: (stage.width - picture.width * scale) / 2,
    top: (stage.height - picture.height * scale) / 2,
  };
}

/**
 * @param {View} view
 * @param {Point} p picture px
 * @returns {Point} CSS px
 */
export function toScreen(view, p) {
  return { x: view.left + p.x * view.scale, y: view.top + p.y * view.scale };
}

/**
 * @param {View} view
 * @param {Point} s CSS px
 * @returns {Point} picture px
 */
export function toPicture(view, s) {
  return { x: (s.x - view.left) / view.scale, y: (s.y - view.top) / view.scale };
}

/**
 * Zooms by a factor; the picture point under `at` stays where it is. The scale
 * stays between the whole picture and 16 screen px per picture px.
 * @param {View} view
 * @param {number} factor above 1 zooms in
 * @param {Point} at CSS px
 * @param {Size} picture px
 * @param {Size} stage CSS px
 * @returns {View}
 */
export function zoomAt(view, factor, at, picture, stage) {
  const least = fit(picture, stage).scale;
  const scale = Math.min(Math.max(view.scale * factor, least), Math.max(16, least));
  const p = toPicture(view, at);
  return keepInside({ scale, left: at.x - p.x * scale, top: at.y - p.y * scale }, picture, stage);
}

/**
 * Zooms and moves with two fingers, of which one has moved: what lay between them
 * stays between them.
 * @param {View} view
 * @param {Point} other the finger at rest, CSS px
 * @param {Point} before the moving one, CSS px
 * @param {Point} now CSS px
 * @param {Size} picture px
 * @param {Size} stage CSS px
 * @returns {View}
 */
export function pinch(view, other, before, now, picture, stage) {
  const gap = (/** @type {Point} */ p) => Math.max(Math.hypot(p.x - other.x, p.y - other.y), 1);
  const middle = { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 };
  const by = { x: (now.x - before.x) / 2, y: (now.y - before.y) / 2 };
  const moved = panBy(view, by, picture, stage);
  return zoomAt(moved, gap(now) / gap(before), middle, picture, stage);
}

/**
 * Moves the picture on the screen, never past its own edge.
 * @param {View} view
 * @param {Point} by CSS px
 * @param {Size} picture px
 * @param {Size} stage CSS px
 * @returns {View}
 */
export function panBy(view, by, picture, stage) {
  return keepInside(
    { scale: view.scale, left: view.left + by.x, top: view.top + by.y },
    picture,
    stage,
  );
}

/**
 * Moves a view so that the picture covers the stage, or is centred along an
 * axis where it is smaller than the stage.
 * @param {View} view
 * @param {Size} picture px
 * @param {Size} stage CSS px
 * @returns {View}
 */
export function keepInside(view, picture, stage) {
  return {
    scale: view.scale,
    left: held(view.left, picture.width * view.scale, stage.width),
    top: held(view.top, picture.height * view.scale, stage.height),
  };
}

/**
 * @param {number} start
 * @param {number} length
 * @param {number} room
 */
function held(start, length, room) {
  if (length <= room) return (room - length) / 2;
  return Math.min(0, Math.max(room - length, start));
}

/**
 * Moves the view as little as needed to bring a picture point at least
 * `margin` px inside the stage.
 * @param {View} view
 * @param {Point} p picture px
 * @param {number} margin CSS px
 * @param {Size} picture px
 * @param {Size} stage CSS px
 * @returns {View}
 */
export function reveal(view, p, margin, picture, stage) {
  const s = toScreen(view, p);
  /** @param {number} at @param {number} room */
  const short = (at, room) => {
    const m = Math.min(margin, room / 2);
    return at < m ? m - at : at > room - m ? room - m - at : 0;
  };
  return panBy(view, { x: short(s.x, stage.width), y: short(s.y, stage.height) }, picture, stage);
}

/**
 * A point kept within the picture.
 * @param {Point} p picture px
 * @param {Size} picture px
 * @returns {Point}
 */
export function withinPicture(p, picture) {
  return {
    x: Math.min(Math.max(p.x, 0), picture.width),
    y: Math.min(Math.max(p.y, 0), picture.height),
  };
}
