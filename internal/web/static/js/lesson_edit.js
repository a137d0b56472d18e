// @ts-check
// Building a lesson: what is typed is kept by itself, buttons change the page in place. Without
// this script the same forms do the same by loading the page.

/** How long typing rests before it is kept, ms. */
const rest = 600;

/**
 * Where the focus goes after a change: the same field or button, else the first field of the
 * block that is edited now.
 * @param {ParentNode} page
 * @param {string} id of what had the focus
 * @param {string} chosen id of the block
 * @returns {HTMLElement | null}
 */
export function focusAfter(page, id, chosen) {
  const same = id ? page.querySelector(`[id="${id}"]`) : null;
  if (same instanceof HTMLElement && !same.hasAttribute("disabled")) return same;
  return page.querySelector(
    `[id="${chosen}"] :is(input:not([type="hidden"]), textarea, select, button:not([tabindex="-1"]))`,
  );
}

/** @param {HTMLElement} builder */
function start(builder) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let later;
  /** @type {Promise<void>} */
  let queue = Promise.resolve();
  document.documentElement.classList.add("scripted");

  const status = () => document.getElementById("saved");
  /** @param {string} words */
  const say = (words) => {
    const at = status();
    if (at) at.textContent = words;
  };

  /**
   * Sends a form and returns the page that answers.
   * @param {HTMLFormElement} form
   * @param {HTMLElement | null} button
   */
  const post = async (form, button) => {
    const data = new FormData(form);
    const seq = document.querySelector('.fields-of [name="seq"]');
    if (data.has("seq") && seq instanceof HTMLInputElement) data.set("seq", seq.value);
    if (button instanceof HTMLButtonElement && button.name) data.set(button.name, button.value);
    /** @type {Record<string, string>} */
    const fields = {};
    for (const [name, text] of data) fields[name] = String(text);
    const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(fields) });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("builder");
    if (!fresh) {
      throw new Error(
        page.querySelector("main p, main h1")?.textContent ?? "The program answered with an error.",
      );
    }
    return { fresh, kept: answer.ok };
  };

  /**
   * Shows a new page but for the fields that are being typed in.
   * @param {HTMLElement} fresh
   */
  const refresh = (fresh) => {
    for (const part of ["#told", ".tools p", "#undo", "#redo", ".after"]) {
      const old = builder.querySelector(part);
      const next = fresh.querySelector(part);
      if (old && next && old.outerHTML !== next.outerHTML) old.replaceWith(next.cloneNode(true));
    }
    for (const next of fresh.querySelectorAll(".block")) {
      const old = document.getElementById(next.id)?.querySelector(".paper");
      const piece = next.querySelector(".paper");
      if (old && piece && old.outerHTML !== piece.outerHTML) old.replaceWith(piece.cloneNode(true));
    }
    const seq = builder.querySelector('.fields-of [name="seq"]');
    const now = fresh.querySelector('.fields-of [name="seq"]');
    if (seq instanceof HTMLInputElement && now instanceof HTMLInputElement) seq.value = now.value;
  };

  /**
   * @param {HTMLElement} fresh
   * @param {string} focused
   */
  const replace = (fresh, focused) => {
    builder.replaceChildren(...fresh.childNodes);
    builder.dataset.chosen = fresh.dataset.chosen;
    focusAfter(builder, focused, builder.dataset.chosen ?? "")?.focus();
    const block = document.getElementById(builder.dataset.chosen ?? "");
    block?.scrollIntoView({ block: "nearest" });
    history.replaceState(null, "", `?block=${builder.dataset.chosen}`);
  };

  /**
   * @param {HTMLFormElement} form
   * @param {HTMLElement | null} button null: what was typed is kept
   */
  const send = (form, button) => {
    clearTimeout(later);
    later = undefined;
    queue = queue.then(async () => {
      say("Saving.");
      try {
        const { fresh, kept } = await post(form, button);
        if (button && kept) replace(fresh, button.id);
        else refresh(fresh);
        say(kept ? "Everything is saved." : "Not saved.");
      } catch (e) {
        say(`Not saved. ${e instanceof Error ? e.message : e}`);
      }
    });
    return queue;
  };

  builder.addEventListener("input", (e) => {
    const t = e.target;
    if (!(t instanceof HTMLElement) || t.id === "add_kind" || t.id === "add_run") return;
    const form = t.closest("form.fields-of");
    if (!(form instanceof HTMLFormElement)) return;
    clearTimeout(later);
    say("Not saved yet.");
    later = setTimeout(() => send(form, null), t instanceof HTMLSelectElement ? 0 : rest);
  });
  builder.addEventListener("submit", (e) => {
    const form = e.target;
    if (!(form instanceof HTMLFormElement)) return;
    e.preventDefault();
    const by = e instanceof SubmitEvent ? e.submitter : null;
    const typed = builder.querySelector("form.fields-of");
    if (later !== undefined && typed instanceof HTMLFormElement && typed !== form)
      send(typed, null);
    send(form, by instanceof HTMLElement && by.getAttribute("value") !== "keep" ? by : null);
  });
  builder.addEventListener("keydown", (e) => {
    if (!e.altKey || (e.key !== "ArrowUp" && e.key !== "ArrowDown")) return;
    const button = document.getElementById(e.key === "ArrowUp" ? "do-up" : "do-down");
    if (!(button instanceof HTMLButtonElement) || !button.form) return;
    e.preventDefault();
    const focused = document.activeElement?.id ?? "";
    send(button.form, button).then(() => document.getElementById(focused)?.focus());
  });
  // Leaving waits for what was typed.
  builder.addEventListener("click", (e) => {
    const link = e.target instanceof Element ? e.target.closest("a") : null;
    const typed = builder.querySelector("form.fields-of");
    if (!link || later === undefined || !(typed instanceof HTMLFormElement)) return;
    e.preventDefault();
    send(typed, null).then(() => location.assign(link.href));
  });
  globalThis.addEventListener("beforeunload", (e) => {
    if (later !== undefined) e.preventDefault();
  });
}

if (typeof document !== "undefined") {
  const builder = document.getElementById("builder");
  if (builder) start(builder);
}
