/* A page of a drawing, looked at closely: [data-viewer] holds an SVG .viewer__page with one <image>. Without this it is
   a plain picture. Wheel, pinch, double tap, buttons [data-closer] and + - 0 change the scale; dragging and arrows move
   it. A tap, or Enter for the middle, puts the fields [data-across] and [data-down] (per cent) at that place. */
(() => {
  "use strict";
  const NEAREST = 16, STILL = 8, DOUBLE = 300, ARROW = 0.15;
  const NAMES = "http://www.w3.org/2000/svg";

  function begin(frame) {
    const page = frame.querySelector(".viewer__page");
    if (!page || page.dataset.begun) return;
    page.dataset.begun = "yes";
    const picture = page.querySelector("image");
    const whole = { wide: page.viewBox.baseVal.width, high: page.viewBox.baseVal.height };
    const view = { left: 0, top: 0, scale: 1 };
    const fingers = new Map();
    let moved = 0, tapped = { at: 0, x: 0, y: 0 }, mark = null;

    const held = (value, most) => Math.min(Math.max(value, 0), Math.max(most, 0));

    function show() {
      const wide = whole.wide / view.scale, high = whole.high / view.scale;
      view.left = held(view.left, whole.wide - wide);
      view.top = held(view.top, whole.high - high);
      page.setAttribute("viewBox", `${view.left} ${view.top} ${wide} ${high}`);
      page.classList.toggle("viewer__page--near", view.scale > 1);
      // Marks stay as large as a finger wants them, however near the page is.
      const size = 1 / (page.getScreenCTM() || { a: 1 }).a;
      page.querySelectorAll("[data-at]").forEach((one) => {
        one.setAttribute("transform", `translate(${one.dataset.at}) scale(${size})`);
      });
      if (view.scale > 1.2) sharpen();
    }

    function sharpen() {
      if (!page.dataset.full) return;
      const full = new Image(), address = page.dataset.full;
      delete page.dataset.full;
      full.onload = () => picture.setAttribute("href", address);
      full.src = address;
    }

    function place(x, y) {
      const matrix = page.getScreenCTM();
      return matrix ? new DOMPoint(x, y).matrixTransform(matrix.inverse()) : { x: 0, y: 0 };
    }

    const middle = () => ({ x: view.left + whole.wide / view.scale / 2, y: view.top + whole.high / view.scale / 2 });

    function closer(times, at = middle()) {
      const scale = times ? Math.min(Math.max(view.scale * times, 1), NEAREST) : 1;
      const kept = view.scale / scale;
      view.left = at.x - (at.x - view.left) * kept;
      view.top = at.y - (at.y - view.top) * kept;
      view.scale = scale;
      show();
    }

    function move(across, down) {
      view.left += across;
      view.top += down;
      show();
    }

    function put(at) {
      const form = document.querySelector("form:has([data-across])");
      if (!form || at.x < 0 || at.y < 0 || at.x > whole.wide || at.y > whole.high) return;
      const fields = { across: at.x / whole.wide, down: at.y / whole.high };
      for (const [name, share] of Object.entries(fields)) {
        form.querySelector(`[data-${name}]`).value = (100 * share).toFixed(1);
      }
      if (!mark) {
        mark = document.createElementNS(NAMES, "g");
        mark.setAttribute("class", "viewer__pin");
        const cross = document.createElementNS(NAMES, "path");
        cross.setAttribute("d", "M-14 0H14M0-14V14");
        mark.append(cross);
        page.append(mark);
      }
      mark.dataset.at = `${at.x} ${at.y}`;
      show();
    }

    const spread = () => {
      const [one, other] = [...fingers.values()];
      return { wide: Math.hypot(one.x - other.x, one.y - other.y), x: (one.x + other.x) / 2, y: (one.y + other.y) / 2 };
    };

    function dragged(event) {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const apart = fingers.size === 2 ? spread() : null;
      moved += Math.hypot(event.clientX - before.x, event.clientY - before.y);
      const from = place(before.x, before.y), to = place(event.clientX, event.clientY);
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (apart) {
        const now = spread();
        closer(now.wide / Math.max(apart.wide, 1), place(now.x, now.y));
      } else if (view.scale > 1 && moved > STILL) {
        page.setPointerCapture(event.pointerId);
        move(from.x - to.x, from.y - to.y);
      }
    }

    function lifted(event) {
      const alone = fingers.size === 1 && fingers.delete(event.pointerId);
      fingers.delete(event.pointerId);
      if (!alone || moved > STILL || event.target.closest("a")) return;
      const again = event.timeStamp - tapped.at < DOUBLE && Math.hypot(event.clientX - tapped.x, event.clientY - tapped.y) < 30;
      tapped = { at: again ? 0 : event.timeStamp, x: event.clientX, y: event.clientY };
      const at = place(event.clientX, event.clientY);
      if (again) closer(view.scale < NEAREST / 2 ? 2.5 : 0, at);
      else put(at);
    }

    page.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      if (!fingers.size) moved = 0;
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    });
    page.addEventListener("pointermove", dragged);
    page.addEventListener("pointerup", lifted);
    ["pointercancel", "pointerleave"].forEach((name) => {
      page.addEventListener(name, (event) => fingers.delete(event.pointerId));
    });
    page.addEventListener("wheel", (event) => {
      // At the whole page, turning away scrolls on.
      if (view.scale === 1 && event.deltaY > 0) return;
      event.preventDefault();
      closer(Math.exp(-event.deltaY / 400), place(event.clientX, event.clientY));
    }, { passive: false });
    page.addEventListener("keydown", (event) => {
      const step = { wide: ARROW * whole.wide / view.scale, high: ARROW * whole.high / view.scale };
      const keys = {
        "+": () => closer(1.5), "=": () => closer(1.5), "-": () => closer(1 / 1.5), "0": () => closer(0),
        ArrowLeft: () => move(-step.wide, 0), ArrowRight: () => move(step.wide, 0),
        ArrowUp: () => move(0, -step.high), ArrowDown: () => move(0, step.high), Enter: () => put(middle()),
      };
      if (!keys[event.key] || event.target !== page || event.ctrlKey || event.metaKey || event.altKey) return;
      if (view.scale === 1 && event.key.startsWith("Arrow")) return;
      event.preventDefault();
      keys[event.key]();
    });
    frame.querySelectorAll("[data-closer]").forEach((button) => {
      button.addEventListener("click", () => closer(Number(button.dataset.closer)));
    });
    new ResizeObserver(show).observe(page);
    show();
  }

  const all = () => document.querySelectorAll("[data-viewer]").forEach(begin);
  all();
  document.addEventListener("htmx:afterSettle", all);
})();
