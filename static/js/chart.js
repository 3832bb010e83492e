// The row behind the point of a chart that is pointed at, tapped, or stepped to with the arrow keys.
for (const kind of ["pointermove", "pointerdown", "focusin", "keydown"]) addEventListener(kind, (event) => {
  const box = event.target.closest?.(".chart__drawing"), lines = box?.parentNode.querySelectorAll("tr");
  const svg = lines?.[1] && [...box.children].find((one) => one.dataset.at && one.getBoundingClientRect().width);
  if (!svg) return;
  const out = box.lastChild, by = svg.dataset.by, at = svg.dataset.at.split(" ").map((one) => one.split(","));
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const far = ([a, b]) => Math.hypot(by !== "y" && a - x, by !== "x" && b - y);
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key] || 0;
  const near = event.clientX ? at.map(far).reduce((best, one, n, all) => (one < all[best] ? n : best), 0)
    : ((out.near || 0) + step + at.length) % at.length;
  out.near = near;
  ["cx", "cy"].forEach((name, n) => svg.lastChild.setAttribute(name, at[near][n]));
  const said = [...lines[near + 1].cells].map((cell, n) => `${n ? lines[0].cells[n].textContent : ""} ${cell.textContent}`);
  out.value = said.join(" · ");
});
