// @ts-check
// On the marking page: asks once, calmly, for one frame to be marked again.

const offer = /** @type {HTMLElement | null} */ (document.querySelector("[data-remark-offer]"));
const count = document.querySelector("#count");

if (offer && count) {
  const later = `later ${location.pathname}`;
  let asked = "";
  const look = async () => {
    const now = count.textContent ?? "";
    if (!offer.hidden || now === asked || sessionStorage.getItem(later)) return;
    asked = now;
    const answer = await fetch(offer.dataset.remarkOffer ?? "").catch(() => null);
    if (!answer?.ok) return; // it asks again after the next mark
    const words = await answer.json();
    offer.hidden = !words.offer;
    if (words.open) offer.querySelector("button")?.replaceChildren("Go on with the frame begun");
  };
  let timer = 0;
  const soon = () => {
    clearTimeout(timer);
    timer = Number(setTimeout(() => void look(), 1500)); // after the click is saved
  };
  new MutationObserver(soon).observe(count, {
    childList: true,
    characterData: true,
    subtree: true,
  });
  offer.querySelector("[data-later]")?.addEventListener("click", () => {
    sessionStorage.setItem(later, "yes");
    offer.hidden = true;
  });
  soon();
}
