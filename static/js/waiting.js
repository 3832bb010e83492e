/* An evening that cannot be sent is kept on this device, in order, and sent once when the server answers again.
   form[data-keeps="7"] is kept for the person of that key, and is only ever sent while that person is signed in;
   [data-waiting] shows what waits, in the words that it brings. The line's token makes each entry exactly one. */
(() => {
  "use strict";
  const form = document.querySelector("form[data-keeps]");
  const shown = document.querySelector("[data-waiting]");
  if (!form || !shown) return;
  const PLACE = `waiting-${form.dataset.keeps}`, SENT = "waiting-sent", TRY_AGAIN = 20_000, PATIENCE = 4_000;
  const words = shown.dataset;

  const read = () => { try { return JSON.parse(localStorage.getItem(PLACE)) || []; } catch { return []; } };
  const write = (list) => localStorage.setItem(PLACE, JSON.stringify(list));
  const change = (token, into) => write(read().flatMap((one) => (one.token === token ? into(one) : [one])));
  const valueIn = (fields, name) => (fields.find(([key]) => key === name) || ["", ""])[1];

  function newToken() {
    return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  async function ask(address, options = {}) {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), PATIENCE);
    try { return await fetch(address, { cache: "no-store", signal: stop.signal, ...options }); }
    catch { return null; }
    finally { clearTimeout(timer); }
  }

  /* --- keeping ----------------------------------------------------------------------------------------------- */

  const fieldsOf = (submitter) => [...new FormData(form, submitter)].filter(
    ([name, value]) => typeof value === "string" && name !== "csrfmiddlewaretoken");

  // Only what can be kept leaves the form; a full memory leaves it as it stands.
  function keep(fields) {
    const token = valueIn(fields, "form-0-token");
    try {
      const kept = { token, path: form.action, fields, says: sayOf(fields) };
      if (!read().some((one) => one.token === token)) write([...read(), kept]);
    } catch { lookAt(words.full); return; }
    empty();
    lookAt(words.away);
  }

  // Said where the eye is: the button that was pressed may stand far below.
  function lookAt(why) {
    show(why);
    shown.scrollIntoView({ block: "center" });
  }

  // A page that came back refused would be reset to what was refused, so each field of a line is emptied by itself.
  const TYPED = /^form-\d+-(?!token$|work$|other$|find$)/;
  const typedIn = () => [...form.elements].filter((field) => TYPED.test(field.name));

  function empty() {
    form.reset();
    typedIn().forEach((field) => {
      if (field.matches("[type=radio], [type=checkbox]")) field.checked = false;
      else field.value = "";
    });
    form.querySelectorAll("input[name$='-token']").forEach((one) => { one.value = newToken(); });
  }

  // The second of two taps finds an empty form.
  const nothingTyped = () => !typedIn().some((field) => (
    field.matches("[type=radio], [type=checkbox]") ? field.checked : !["", "0"].includes(field.value.trim())));

  function sayOf(fields) {
    const work = form.querySelector("input[name='form-0-work']:checked");
    const chosen = work && work.labels[0] ? work.labels[0].innerText.trim().split("\n")[0] : "";
    const minutes = form.querySelector("input[name='form-0-usual']:checked");
    const time = valueIn(fields, "form-0-time") || (minutes ? minutes.labels[0].innerText.trim() : "");
    const day = new Date(`${valueIn(fields, "worked_on")}T12:00`);
    const told = isNaN(day) ? "" : day.toLocaleDateString(document.documentElement.lang, { dateStyle: "medium" });
    return [told, chosen, time, valueIn(fields, "form-0-note")].filter(Boolean).join(", ");
  }

  // Asked as the finger comes down, so that the answer is there when it has left the button.
  const signOfLife = () => (navigator.onLine ? ask(words.reach, { method: "HEAD" }) : null);
  let passing = false, asking = false, early = null;
  form.addEventListener("pointerdown", (event) => {
    if (event.target.closest("button[name=log]")) early = { answer: signOfLife(), at: Date.now() };
  });
  form.addEventListener("submit", async (event) => {
    const submitter = event.submitter;
    if (passing || !submitter || submitter.name !== "log") return;
    event.preventDefault();
    event.stopPropagation();
    if (asking) return;
    asking = true;
    const answer = await (early && Date.now() - early.at < PATIENCE ? early.answer : signOfLife());
    early = null;
    asking = false;
    const fields = fieldsOf(submitter);
    if (!answer) { if (!nothingTyped()) keep(fields); return; }
    try { sessionStorage.setItem(SENT, valueIn(fields, "form-0-token")); } catch { /* it stays listed, then */ }
    passing = true;
    form.requestSubmit(submitter);
    passing = false;
  });

  /* --- sending ----------------------------------------------------------------------------------------------- */

  // Who is signed in now is asked first: an entry is never sent under another name.
  async function door() {
    const answer = await ask(location.pathname);
    if (!answer) return { why: words.away };
    const theirs = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("form[data-keeps]");
    if (!theirs) return { why: words.signedOut };
    if (theirs.dataset.keeps !== form.dataset.keeps) return { why: words.another };
    return { key: theirs.querySelector("[name=csrfmiddlewaretoken]").value };
  }

  async function send(one, key) {
    const body = new URLSearchParams([...one.fields, ["csrfmiddlewaretoken", key]]);
    const answer = await ask(one.path, { method: "POST", body });
    if (!answer) return words.away;
    if (answer.redirected && new URL(answer.url).searchParams.has("logged")) {
      change(one.token, () => []);
    } else if (answer.status === 422) {
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const said = [...page.querySelectorAll(".field__error, .questions li")].map((note) => note.textContent.trim());
      change(one.token, (kept) => [{ ...kept, refused: [...new Set(said)].join(" ") || words.refused }]);
    } else return answer.ok ? words.signedOut : words.away;
    return undefined;
  }

  async function sendAll() {
    const toSend = () => read().find((one) => !one.refused);
    if (!toSend()) { show(); return; }
    const { key, why } = await door();
    if (key) isKept = false;
    let stopped = why;
    for (let one = toSend(); one && !stopped; one = toSend()) stopped = await send(one, key);
    show(stopped);
  }

  // One tab sends at a time where the browser can see to that; where not, the token does.
  let sending = false;
  async function begin() {
    if (sending) return;
    sending = true;
    try { await (navigator.locks ? navigator.locks.request(PLACE, sendAll) : sendAll()); }
    finally { sending = false; }
  }

  /* --- showing ----------------------------------------------------------------------------------------------- */

  const make = (tag, textContent, className = "") => (
    Object.assign(document.createElement(tag), { textContent, className }));

  function button(text, does) {
    const made = make("button", text, "button button--small button--second");
    made.type = "button";
    made.addEventListener("click", does);
    return made;
  }

  // The server shows it in its form again, with the sentence beside the field.
  function open(one) {
    const again = Object.assign(document.createElement("form"), { method: "post", action: one.path, hidden: true });
    const key = form.querySelector("[name=csrfmiddlewaretoken]").value;
    again.append(...[...one.fields, ["csrfmiddlewaretoken", key]].map(([name, value]) => (
      Object.assign(document.createElement("input"), { type: "hidden", name, value }))));
    document.body.append(again);
    again.submit();
  }

  function line(one) {
    const made = make("li", one.says);
    if (!one.refused) return made;
    made.append(make("p", one.refused, "field__error"), button(words.open, () => open(one)),
      button(words.drop, () => { change(one.token, () => []); show(); }));
    return made;
  }

  let isKept = "kept" in document.documentElement.dataset;

  function show(why = isKept ? words.kept : "") {
    const list = read();
    shown.querySelectorAll("h2, ol").forEach((one) => { one.hidden = !list.length; });
    shown.querySelector("[data-waiting-list]").replaceChildren(...list.map(line));
    shown.querySelector("[data-waiting-why]").textContent = why;
    shown.hidden = !list.length && !why;
  }

  if (new URLSearchParams(location.search).has("logged")) {
    try { change(sessionStorage.getItem(SENT), () => []); } catch { /* nothing was sent from here */ }
  }
  // A kept page may have been sent before: its tokens have had their turn.
  if (isKept) empty();
  window.addEventListener("online", begin);
  window.addEventListener("pageshow", begin);
  window.addEventListener("storage", () => show());
  setInterval(() => { if (read().some((one) => !one.refused)) begin(); }, TRY_AGAIN);
})();
