/* The bench on a device of its own: opened without a connection, or left open over a night.
     [data-worker="/worker.js"]   begins the worker that keeps bench pages, and says whether this device can: its
                                  data-opens or its data-stays
     [data-evening]               the day that a form is for, beside a field `worked_on`; it turns with the evening
     [data-kept-list]             is filled with the bench pages that this device keeps
     [data-waits]                 is shown where evenings wait on this device */
(() => {
  "use strict";
  const root = document.documentElement, NIGHT_ENDS = 4;

  const says = document.querySelector("[data-worker]");
  if (says) {
    const can = "serviceWorker" in navigator;
    says.textContent = can ? says.dataset.opens : says.dataset.stays;
    if (can) {
      navigator.serviceWorker.register(says.dataset.worker).catch(() => { says.textContent = says.dataset.stays; });
      navigator.serviceWorker.ready.then((ready) => ready.active.postMessage("keep"));
    }
  }

  /* Work until four in the morning belongs to the evening before, as on the server. Only a date that nobody chose
     moves on, and only as far as this device's own clock has moved since. */
  function evening() {
    const then = new Date();
    if (then.getHours() < NIGHT_ENDS) then.setDate(then.getDate() - 1);
    return [then.getFullYear(), then.getMonth() + 1, then.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
  }
  const told = document.querySelector("[data-evening]");
  const day = told && told.closest("form").elements.worked_on;
  let shown = day && ("kept" in root.dataset ? day.defaultValue : evening());

  function turn() {
    const now = evening();
    if (!day || now === shown || day.value !== day.defaultValue) return;
    shown = day.value = day.defaultValue = now;
    told.textContent = new Date(`${now}T12:00`).toLocaleDateString(
      root.lang, { weekday: "long", day: "numeric", month: "long" }).replace(",", "");
  }
  window.addEventListener("pageshow", turn);
  document.addEventListener("visibilitychange", turn);
  document.addEventListener("focusin", turn);

  const list = document.querySelector("[data-kept-list]");
  if (list && "caches" in window) {
    caches.open("bench pages").then(async (pages) => {
      const found = await pages.matchAll();
      list.replaceChildren(...await Promise.all(found.reverse().map(async (one) => {
        const page = new DOMParser().parseFromString(await one.text(), "text/html"), line = document.createElement("li");
        line.append(Object.assign(document.createElement("a"), {
          href: new URL(one.url).pathname, textContent: page.title.split("·").slice(0, 2).join("·").trim() }));
        return line;
      })));
      document.querySelector("[data-kept-none]").hidden = found.length > 0;
    });
  }

  const waits = document.querySelector("[data-waits]");
  const isWaiting = ([name, kept]) => /^waiting-\d+$/.test(name) && kept !== "[]";
  try { if (waits) waits.hidden = !Object.entries(localStorage).some(isWaiting); } catch { /* nothing can wait here */ }
})();
