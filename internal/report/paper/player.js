// @ts-check
// Plays the pictures of a clip, in a lesson's page and in its file. Without scripts the first
// picture stays.

/**
 * The picture that stands after a step, round and round.
 * @param {number} at
 * @param {number} by
 * @param {number} count
 */
export function turn(at, by, count) {
  return (((at + by) % count) + count) % count;
}

/**
 * @param {HTMLElement} clip
 */
function start(clip) {
  const frames = (clip.dataset.frames ?? "").split("\n").filter((a) => a !== "");
  const poster = clip.querySelector(".poster");
  if (frames.length < 2 || !poster) return;
  const picture = document.createElement("img");
  picture.className = "moving";
  picture.alt = clip.dataset.alt ?? "";
  picture.src = frames[0];
  const bar = document.createElement("p");
  bar.className = "play";
  /** @param {string} words */
  const button = (words) => {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = words;
    bar.append(b);
    return b;
  };
  const back = button("One back");
  const play = button("Play");
  const on = button("One on");
  const place = document.createElement("span");
  place.className = "place";
  place.setAttribute("role", "status");
  bar.append(place);
  poster.before(picture, bar);
  clip.classList.add("plays");

  let at = 0;
  /** @type {ReturnType<typeof setInterval> | undefined} */
  let beat;
  /** @param {number} n */
  const show = (n) => {
    at = n;
    picture.src = frames[at];
    clip.dataset.at = String(at);
    if (beat === undefined) place.textContent = `picture ${at + 1} of ${frames.length}`;
  };
  const stop = () => {
    clearInterval(beat);
    beat = undefined;
    play.textContent = "Play";
    show(at);
  };
  /** @param {number} by */
  const step = (by) => () => {
    stop();
    show(turn(at, by, frames.length));
  };
  back.addEventListener("click", step(-1));
  on.addEventListener("click", step(1));
  play.addEventListener("click", () => {
    if (beat !== undefined) {
      stop();
      return;
    }
    play.textContent = "Stop";
    place.textContent = "";
    beat = setInterval(() => show(turn(at, 1, frames.length)), Number(clip.dataset.delay) || 60);
  });
  show(0);
}

/**
 * Starts every clip within a part of the page that was not started yet.
 * @param {ParentNode} part
 */
export function startClips(part) {
  for (const clip of part.querySelectorAll(".clip[data-frames]")) {
    if (clip instanceof HTMLElement && !clip.classList.contains("plays")) start(clip);
  }
}

if (typeof document !== "undefined") startClips(document);
