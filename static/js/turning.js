/* A slider that turns a drawing: data-turns="id" names the field of its angle. The server draws every place of it, one
   question at a time; without script the field, its button and the small drawings do the same. */
(() => {
  "use strict";
  let asking = false, resting = null;

  async function follow(slider, field) {
    asking = true;
    let asked = null;
    try {
      while (slider.isConnected && asked !== field.value) {
        asked = field.value;
        const question = new URLSearchParams(new FormData(slider.form));
        const response = await fetch(`${slider.form.action}?${question}`, { headers: { "HX-Request": "true" } });
        const fresh = response.ok && new DOMParser().parseFromString(await response.text(), "text/html");
        const drawn = fresh && fresh.getElementById("answer"), answer = document.getElementById("answer");
        if (!drawn || !answer) return;
        answer.replaceChildren(...drawn.childNodes);
      }
    } catch { /* No connection: letting the slider go asks once more, and says so. */ } finally { asking = false; }
  }

  // An arrow key that is held lets the slider go at every step: the form asks, and the address follows, once it rests.
  document.addEventListener("change", (event) => {
    if (!event.target.matches("[data-turns]")) return;
    event.stopPropagation();
    const field = document.getElementById(event.target.dataset.turns);
    clearTimeout(resting);
    resting = setTimeout(() => field.dispatchEvent(new Event("change", { bubbles: true })), 300);
  }, true);

  document.addEventListener("input", (event) => {
    const slider = event.target;
    if (slider.matches("[data-turns]")) {
      const field = document.getElementById(slider.dataset.turns);
      field.value = slider.value;
      if (!asking) follow(slider, field);
      return;
    }
    const turned = slider.id && document.querySelector(`[data-turns="${CSS.escape(slider.id)}"]`);
    if (turned && Number.isFinite(Number(slider.value))) turned.value = ((Number(slider.value) % 360) + 360) % 360;
  });
})();
