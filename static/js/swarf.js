/* Small helps for pages that work without them. Everything is asked for by data- attributes:
     data-once          a form that is sent once: its buttons rest until the answer is there
     data-working       inside such a form: shown once the answer has been waited for for a second
     data-autosubmit    a select or box that sends its form when it is changed
     data-answered      a form whose answer htmx fetches: its fields stay as they are, what stands around is renewed
     data-folds         what is made anew inside it: the folds that somebody opened there stay open
     data-unsaved="…"   a form that htmx would replace on another's behalf: with something typed in it, this is said
     data-chip="time"   a choice that stands for a field with data-instead-of-chip="time": the last of the two wins
     data-step="-1"     a button that counts the number field beside it down or up
     data-find          the field for looking something up: the key / goes to it
     data-next          one of a column of figures: Enter goes down to the next; at the last it sends the form
     data-beside        a list whose links htmx opens in #beside, where there is room for that; pressed again they open */
(() => {
  "use strict";
  const root = document.documentElement;
  root.classList.add("has-js");

  /* htmx reads this before the page is ready; here it travels once, not with every page. */
  Object.assign(htmx.config, {
    historyRestoreAsHxRequest: false,
    allowEval: false,
    includeIndicatorStyles: false,
    historyCacheSize: 0,
    allowScriptTags: false,
    responseHandling: [
      { code: "204", swap: false },
      { code: "[23]..", swap: true },
      { code: "422", swap: true },
      { code: "[45]..", swap: false, error: true },
    ],
  });

  /* --- forms ------------------------------------------------------------------------------------------------- */

  const buttonsOf = (form) => form.querySelectorAll("button:not([type=button]), input[type=submit]");

  function wake(form) {
    delete form.dataset.sent;
    buttonsOf(form).forEach((button) => { button.disabled = false; });
    showWorking(form, false);
  }

  function showWorking(form, shown) {
    form.querySelectorAll("[data-working]").forEach((one) => { one.hidden = !shown; });
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-once]")) return;
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "yes";
    // A disabled button would not send its own name and value, so it is disabled after the form has been read.
    setTimeout(() => buttonsOf(form).forEach((button) => { button.disabled = true; }), 0);
    setTimeout(() => { if (form.dataset.sent) showWorking(form, true); }, 1000);
  });

  // Coming back with the browser's arrow shows the old page as it was left: its buttons must work again.
  window.addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach(wake));
  document.addEventListener("htmx:afterRequest", (event) => {
    const form = event.target.closest && event.target.closest("form[data-sent]");
    if (form) wake(form);
  });

  document.addEventListener("change", (event) => {
    const field = event.target.closest("[data-autosubmit]");
    if (field && field.form) field.form.requestSubmit();
  });

  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-step]");
    const field = button && button.parentElement.querySelector("input");
    if (!field) return;
    const low = field.min === "" ? -Infinity : Number(field.min);
    field.value = Math.max(low, (parseInt(field.value, 10) || 0) + Number(button.dataset.step));
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.dispatchEvent(new Event("change", { bubbles: true }));
  });

  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[data-next]")) return;
    const column = [...event.target.form.querySelectorAll("input[data-next]")];
    const next = column[column.indexOf(event.target) + 1];
    if (!next) return;
    event.preventDefault();
    next.focus();
  });

  document.addEventListener("keydown", (event) => {
    const find = document.querySelector("[data-find]");
    if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || !find?.offsetParent) return;
    if (event.target.closest("input, select, textarea")) return;
    event.preventDefault();
    find.select();
  });

  // A tapped chip and a typed time are one answer: the last one wins, and a chip that is tapped again lets go.
  const beside = (element, selector) => {
    const line = element.closest("fieldset:not(.chips), form");
    return line ? [...line.querySelectorAll(selector)] : [];
  };
  let letsGo = null;

  document.addEventListener("pointerdown", (event) => {
    const label = event.target.closest("label"), chip = label && label.control;
    letsGo = chip && chip.matches("[data-chip]:checked") ? chip : null;
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== " " || !event.target.matches("[data-chip]:checked")) return;
    event.preventDefault();
    event.target.checked = false;
  });
  document.addEventListener("click", (event) => {
    if (!event.target.matches("input[data-chip]")) return;
    if (event.target === letsGo) letsGo.checked = false;
    letsGo = null;
  });
  document.addEventListener("change", (event) => {
    const chip = event.target;
    if (!chip.matches("input[data-chip]") || !chip.checked) return;
    beside(chip, `[data-instead-of-chip="${chip.dataset.chip}"]`).filter((typed) => typed.value).forEach((typed) => {
      typed.value = "";
      typed.dispatchEvent(new Event("input", { bubbles: true }));
    });
  });
  document.addEventListener("input", (event) => {
    const typed = event.target;
    if (!typed.matches("[data-instead-of-chip]") || !typed.value.trim()) return;
    beside(typed, `[data-chip="${typed.dataset.insteadOfChip}"]:checked`).forEach((chip) => { chip.checked = false; });
  });

  /* --- a list with what was chosen from it beside it ----------------------------------------------------------- */

  const linkOf = (event) => event.target.closest && event.target.closest("[data-beside] a");

  document.addEventListener("htmx:confirm", (event) => {
    const link = linkOf(event);
    if (!link || (document.getElementById("beside").getClientRects().length && !link.ariaCurrent)) return;
    event.preventDefault();
    location.assign(link.href);
  });
  // Without an answer the browser goes there itself, and says what it says.
  ["htmx:sendError", "htmx:responseError"].forEach((name) => document.addEventListener(name, (event) => {
    if (linkOf(event)) location.assign(linkOf(event).href);
  }));

  function markChosen() {
    const chosen = document.querySelector("#beside h2 a");
    document.querySelectorAll("[data-beside] a").forEach((link) => {
      if (chosen && chosen.href === link.href) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    });
  }
  markChosen();
  ["htmx:afterSwap", "htmx:historyRestore"].forEach((name) => document.addEventListener(name, markChosen));

  /* --- answers that come while somebody types ----------------------------------------------------------------- */

  // An answer brings the form that it answers along. What stands around a field (how it was read, why it is refused)
  // is taken from there; the field itself is left to whoever is typing in it.
  function takeAround(form, fresh) {
    fresh.querySelectorAll(".field :is(input, select, textarea)[id]").forEach((theirs) => {
      const ours = document.getElementById(theirs.id);
      const field = ours && form.contains(ours) && ours.closest(".field");
      if (!field) return;
      const around = theirs.closest(".field");
      field.className = around.className;
      for (const name of ["aria-invalid", "aria-describedby"]) {
        if (theirs.hasAttribute(name)) ours.setAttribute(name, theirs.getAttribute(name));
        else ours.removeAttribute(name);
      }
      field.querySelectorAll(":scope > .field__error").forEach((one) => one.remove());
      field.append(...[...around.querySelectorAll(":scope > .field__error")].map((one) => one.cloneNode(true)));
      const reading = field.querySelector("output"), read = around.querySelector("output");
      if (reading && read) reading.textContent = read.textContent.trim();
    });
  }

  // Where fields are replaced after all (another process has other sizes), what was typed since the question was sent
  // goes on in the new ones with the cursor where it was, and is asked for anew.
  const FIELDS = ":is(input:not([type=hidden], [type=file]), select, textarea)[id]";
  const stateOf = (field) => (field.matches("[type=checkbox], [type=radio]") ? field.checked : field.value);
  const fieldsIn = (target) => (target ? [...target.querySelectorAll(FIELDS)] : []);
  const asked = new WeakMap();
  const lists = new WeakMap();
  const typed = new WeakMap();

  document.addEventListener("htmx:beforeRequest", (event) => {
    const { xhr, target, elt } = event.detail;
    if (target && target.matches("select")) lists.set(xhr, target.value);
    asked.set(xhr, new Map(fieldsIn(target).map((field) => [field.id, stateOf(field)])));
    const open = target && [...target.querySelectorAll("form[data-unsaved]")].find((form) => !form.contains(elt));
    if (open && isUnsaved(open)) {
      event.preventDefault();
      sayUnsaved(open);
    }
  });

  function isUnsaved(form) {
    const written = fieldsIn(form).filter((field) => field.matches("input, textarea"));
    return form.querySelector(".field--refused") || written.some((field) => field.value !== field.defaultValue);
  }

  function sayUnsaved(form) {
    const said = form.querySelector("[data-note]");
    const note = said || form.insertBefore(document.createElement("p"), form.lastElementChild);
    note.dataset.note = "";
    note.className = "field__error";
    note.setAttribute("role", "alert");
    note.textContent = form.dataset.unsaved;
    note.scrollIntoView({ block: "center" });
  }

  document.addEventListener("htmx:beforeSwap", (event) => {
    const { xhr, target, requestConfig, serverResponse } = event.detail;
    // A list is not renewed under the hand of somebody who is choosing from it.
    if (target.matches("select") && (target === document.activeElement || target.value !== lists.get(xhr))) {
      event.detail.shouldSwap = false;
    }
    const form = requestConfig.elt.closest("form[data-answered]");
    if (form && !target.contains(form)) takeAround(form, new DOMParser().parseFromString(serverResponse, "text/html"));
    const before = asked.get(xhr) || new Map();
    const changed = fieldsIn(target).filter((field) => before.has(field.id) && before.get(field.id) !== stateOf(field));
    const at = document.activeElement;
    let cursor = null;
    try { cursor = [at.selectionStart, at.selectionEnd]; } catch { /* a field without a cursor */ }
    const states = changed.map((field) => [field.id, stateOf(field)]);
    typed.set(xhr, { changed: states, at: target.contains(at) && at.id, cursor });
  });

  document.addEventListener("htmx:afterSwap", (event) => {
    const { changed, at, cursor } = typed.get(event.detail.xhr) || { changed: [] };
    const fields = changed.map(([id, value]) => {
      const field = document.getElementById(id);
      if (field && field.matches("[type=checkbox], [type=radio]")) field.checked = value;
      else if (field) field.value = value;
      return field;
    }).filter(Boolean);
    const active = at && document.getElementById(at);
    // Whoever goes on typing is not called away, not to a refusal either.
    if (active && fields.includes(active)) {
      document.querySelectorAll("[autofocus]").forEach((one) => one.removeAttribute("autofocus"));
    }
    if (active) {
      active.focus({ preventScroll: true });
      try { if (cursor && cursor[0] !== null) active.setSelectionRange(...cursor); } catch { /* nor here */ }
    }
    if (fields.length) fields[0].dispatchEvent(new Event("change", { bubbles: true }));
  });

  // A fold is known again by its summary.
  const opened = new Set();
  const nameOf = (fold) => fold.querySelector("summary").textContent.trim();

  document.addEventListener("toggle", ({ target }) => {
    if (target.matches("[data-folds] details")) opened[target.open ? "add" : "delete"](nameOf(target));
  }, true);
  document.querySelectorAll("[data-folds]").forEach((place) => {
    new MutationObserver(() => place.querySelectorAll("details:not([open])").forEach((fold) => {
      if (opened.has(nameOf(fold))) fold.open = true;
    })).observe(place, { childList: true, subtree: true });
  });
})();
