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
 * The picture that a key leads to; null for a key that means nothing here.
 * @param {string} key as the browser names it
 * @param {number} at
 * @param {number} count
 */
export function keyed(key, at, count) {
  switch (key) {
    case "ArrowLeft":
      return turn(at, -1, count);
    case "ArrowRight":
      return turn(at, 1, count);
    case "Home":
      return 0;
    case "End":
      return count - 1;
    default:
      return null;
  }
}

/**
 * The controls of a clip: one back, play, one on, a bar over all pictures, and what is shown.
 * @param {string} of what the clip shows
 * @param {number} count of pictures
 */
function controls(of, count) {
  const bar = document.createElement("div");
  bar.className = "play";
  bar.setAttribute("role", "group");
  bar.setAttribute("aria-label", `Play ${of}`);
  /**
   * @param {string} words
   * @param {string} label
   */
  const button = (words, label) => {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = words;
    if (label) b.setAttribute("aria-label", label);
    bar.append(b);
    return b;
  };
  const back = button("One back", "One back: the picture before");
  const play = button("Play", "");
  const on = button("One on", "One on: the picture after");
  const range = document.createElement("input");
  range.type = "range";
  range.min = "1";
  range.max = String(count);
  range.setAttribute("aria-label", "Picture");
  const place = document.createElement("span");
  place.className = "place";
  place.setAttribute("role", "status");
  bar.append(range, place);
  return { bar, back, play, on, range, place };
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
  const { bar, back, play, on, range, place } = controls(
    clip.querySelector(".label")?.textContent ?? "the clip",
    frames.length,
  );
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
    range.value = String(at + 1);
    const words = `picture ${at + 1} of ${frames.length}`;
    range.setAttribute("aria-valuetext", words);
    place.textContent = beat === undefined ? words : "";
  };
  /** @param {number} n */
  const stopAt = (n) => {
    clearInterval(beat);
    beat = undefined;
    play.textContent = "Play";
    clip.classList.remove("playing");
    show(n);
  };
  // Playing goes on from the picture at which it was stopped.
  const go = () => {
    play.textContent = "Stop";
    clip.classList.add("playing");
    beat = setInterval(() => show(turn(at, 1, frames.length)), Number(clip.dataset.delay) || 60);
    place.textContent = "";
  };
  const toggle = () => (beat === undefined ? go() : stopAt(at));
  back.addEventListener("click", () => stopAt(turn(at, -1, frames.length)));
  on.addEventListener("click", () => stopAt(turn(at, 1, frames.length)));
  play.addEventListener("click", toggle);
  picture.addEventListener("click", toggle);
  range.addEventListener("input", () => stopAt(Number(range.value) - 1));
  bar.addEventListener("keydown", (e) => {
    const n = keyed(e.key, at, frames.length);
    if (n === null || e.altKey || e.ctrlKey || e.metaKey) return;
    e.preventDefault(); // the bar's own keys do the same, but do not go round
    stopAt(n);
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
