// The row behind the point of a chart that is pointed at, tapped or reached by an arrow key.
["pointermove", "pointerdown", "focusin", "keydown"].map((kind) => addEventListener(kind, ({ target, x, y, key }) => {
  const box = target.closest?.(".chart__drawing"), rows = box?.parentNode.querySelectorAll("tr");
  const svg = rows?.[1] && [...box.querySelectorAll("[data-at]")].find((one) => one.getClientRects()[0]);
  if (!svg) return;
  const said = box.lastChild, { at, by } = svg.dataset, all = at.split(" ").map((one) => one.split(","));
  const to = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM().inverse());
  const far = (n) => Math.hypot(by !== "y" && all[n][0] - to.x, by !== "x" && all[n][1] - to.y);
  let n = ((said.n || 0) + (key === "ArrowRight") - (key === "ArrowLeft") + all.length) % all.length;
  if (x) all.map((_, i) => far(i) < far(n) && (n = i));
  said.n = n;
  svg.lastChild.setAttribute("transform", `translate(${all[n]})`);
  const [heads, cells] = [rows[0], rows[n + 1]].map((row) => [...row.cells].map((cell) => cell.textContent));
  said.value = cells.map((text, i) => (i ? `${heads[i]} ${text}` : text)).join(" · ");
}));
