/* The board: its panels take turns and fill the screen they stand on. Without this they stand below one another.
     data-board="…"          the board, and the program's version; data-board-words has the words for which panel is
                             shown, with {number} and {all} in it
     data-panel="…"          a panel, with a name that it keeps when fresh figures come; data-seconds is its time
     data-board-controls     the buttons, inside them data-board-back, -pause, -next and -where
     data-board-gone         what stands there once the board is shown to visitors no more
   One board a page, one timer, one observer: a screen that stands for months must not grow. */
(() => {
  "use strict";
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");
  // A phone scrolls; any larger screen shows a whole panel at once.
  const small = window.matchMedia("(max-width: 47.99rem)");
  const SMALLEST = 0.4, LARGEST = 3, TRIES = 10;
  let board = null, panels = [], at = 0, timer = null, tag = null;

  // Whoever stopped the board wants it stopped after it has fetched fresh figures, too.
  const memory = {
    get held() { try { return sessionStorage.getItem("board-held"); } catch { return null; } },
    set held(value) { try { sessionStorage.setItem("board-held", value); } catch { /* private window: forget it */ } },
  };
  const isHeld = () => (memory.held === null ? still.matches : memory.held === "yes");
  const within = (name) => board.querySelector(`[data-board-${name}]`);

  /* --- as large as it fits ------------------------------------------------------------------------------------ */

  // Nothing in a panel gives way below what it holds, so what is too much makes the panel stick out.
  const sticksOut = (panel) => panel.scrollHeight > panel.clientHeight + 1 || panel.scrollWidth > panel.clientWidth + 1;

  function fit(panel) {
    panel.style.removeProperty("--fit");
    if (small.matches) return;
    let fits = SMALLEST, low = SMALLEST, high = LARGEST;
    for (let tries = 0; tries < TRIES; tries += 1) {
      const middle = (low + high) / 2;
      panel.style.setProperty("--fit", middle);
      if (sticksOut(panel)) high = middle;
      else fits = low = middle;
    }
    panel.style.setProperty("--fit", fits);
  }
  const resized = new ResizeObserver(() => { if (board && panels[at]) fit(panels[at]); });

  /* --- by turns ----------------------------------------------------------------------------------------------- */

  function show(index) {
    at = (index + panels.length) % panels.length;
    panels.forEach((panel, i) => panel.toggleAttribute("data-shown", i === at));
    within("where").textContent = board.dataset.boardWords.replace("{number}", at + 1).replace("{all}", panels.length);
    fit(panels[at]);
    run();
  }

  function run() {
    clearTimeout(timer);
    within("pause").setAttribute("aria-pressed", String(isHeld()));
    // Nobody reads a panel in less than ten seconds, whatever the page asks for.
    const seconds = Math.max(10, Number(panels[at].dataset.seconds) || 18);
    if (!isHeld() && panels.length > 1) timer = setTimeout(() => show(at + 1), seconds * 1000);
  }

  function hold() {
    memory.held = isHeld() ? "no" : "yes";
    run();
  }

  function begin() {
    const found = document.querySelector("[data-board]");
    if (!found || found === board) return;
    const before = panels[at] && panels[at].dataset.panel;
    board = found;
    panels = [...board.querySelectorAll("[data-panel]")];
    board.setAttribute("data-board-running", "");
    within("controls").hidden = panels.length < 2;
    resized.disconnect();
    resized.observe(board);
    show(Math.max(0, panels.findIndex((panel) => panel.dataset.panel === before)));
  }

  document.addEventListener("click", (event) => {
    const button = board && event.target.closest("[data-board-controls] button");
    if (!button) return;
    if (button.hasAttribute("data-board-pause")) hold();
    else show(at + (button.hasAttribute("data-board-next") ? 1 : -1));
  });
  document.addEventListener("keydown", (event) => {
    if (!board || event.ctrlKey || event.altKey || event.metaKey || panels.length < 2) return;
    const onButton = event.target.closest("button");
    if (event.key === "ArrowRight" || event.key === "PageDown") show(at + 1);
    else if (event.key === "ArrowLeft" || event.key === "PageUp") show(at - 1);
    else if (event.key === " " && !onButton) hold();
    else return;
    event.preventDefault();
  });

  /* --- fresh figures ------------------------------------------------------------------------------------------ */

  document.addEventListener("htmx:beforeSwap", (event) => {
    const { xhr, target, serverResponse } = event.detail;
    if (target !== board || !event.detail.shouldSwap) return;
    // The same page again, out of the browser's own store: whoever reads is not disturbed.
    const fresh = xhr.getResponseHeader("ETag");
    if (fresh && fresh === tag) event.detail.shouldSwap = false;
    tag = fresh;
    // Another version of the program has another sheet and another script.
    const version = /data-board="([^"]*)"/.exec(serverResponse);
    if (version && version[1] !== board.dataset.board) {
      event.detail.shouldSwap = false;
      window.location.reload();
    }
  });
  document.addEventListener("htmx:responseError", (event) => {
    if (event.detail.target !== board || event.detail.xhr.status !== 404) return;
    // Taken off the board: nothing of it stays on the screen, and it is asked for again.
    board.querySelectorAll("[data-panel]").forEach((panel) => panel.remove());
    const gone = within("gone");
    board.querySelector("h1").textContent = document.title = gone.textContent.trim();
    gone.hidden = false;
    gone.dataset.panel = "gone";
    panels = [gone];
    tag = null;
    within("controls").hidden = true;
    show(0);
  });
  // Not htmx:load: until that, every panel would be seen for a moment.
  document.addEventListener("htmx:afterSwap", begin);
  window.addEventListener("beforeprint", () => panels.forEach((panel) => panel.style.removeProperty("--fit")));
  window.addEventListener("afterprint", () => { if (panels[at]) fit(panels[at]); });
  begin();
  if (document.fonts) document.fonts.ready.then(() => { if (panels[at]) fit(panels[at]); });
})();
