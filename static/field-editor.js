// Places men on the drawn field by pointer, touch or keys, and keeps the number fields in step. Without it the numbers do it all.
(() => {
  const STEP = 0.2, SPLIT = 1.6, WIDE = 27, DEEP = 12.5;
  const root = document.querySelector("[data-field-editor]");
  if (!root) return;
  const svg = root.querySelector("svg"), said = root.querySelector("[data-said]");
  const input = (man, name) => document.getElementById(`id_${man.dataset.man}-${name}`);
  const round = (value) => Math.round(value / STEP) * STEP;
  const tidy = (value) => String(Number(value.toFixed(1)));
  const number = (field) => { const value = parseFloat(field.value); return Number.isFinite(value) ? value : 0; };

  function words(man) {
    const x = number(input(man, "x")), y = number(input(man, "y"));
    const side = Math.abs(x) < 0.05 ? "over the ball" : `${tidy(Math.abs(x))} yards ${x > 0 ? "right" : "left"}`;
    return `${input(man, "role").value || "man"}, ${input(man, "kind").selectedOptions[0].text.toLowerCase()}, ${side}, ${y >= -1 ? "on the line" : tidy(-y) + " yards deep"}`;
  }

  function draw(man) {
    const x = number(input(man, "x")), y = number(input(man, "y"));
    man.setAttribute("transform", `translate(${Math.max(-WIDE, Math.min(WIDE, x))} ${Math.min(DEEP, Math.max(0, -y))})`);
    man.setAttribute("class", `man ${input(man, "kind").value.replace(" ", "-")}${man.classList.contains("wrong-spot") ? " wrong-spot" : ""}`);
    man.querySelector("text").textContent = input(man, "role").value;
    man.setAttribute("aria-label", words(man));
  }

  function place(man, x, depth, tell) {
    input(man, "x").value = tidy(Math.max(-WIDE, Math.min(WIDE, x)));
    input(man, "y").value = tidy(-Math.min(DEEP, Math.max(0, depth)));
    draw(man);
    if (tell) {
      said.textContent = words(man);
      input(man, "x").dispatchEvent(new Event("input", { bubbles: true }));
    }
  }

  function point(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return { x: at.x, y: at.y };
  }

  const keys = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  for (const man of svg.querySelectorAll("[data-man]")) {
    let held = null;
    man.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      const at = point(event);
      held = { x: number(input(man, "x")) - at.x, y: -number(input(man, "y")) - at.y };
      man.setPointerCapture(event.pointerId);
      man.focus({ preventScroll: true });
      event.preventDefault();
    });
    man.addEventListener("pointermove", (event) => {
      if (!held) return;
      const at = point(event);
      place(man, round(at.x + held.x), round(at.y + held.y), false);
    });
    for (const end of ["pointerup", "pointercancel"]) man.addEventListener(end, () => {
      if (!held) return;
      held = null;
      place(man, number(input(man, "x")), -number(input(man, "y")), true);
    });
    man.addEventListener("keydown", (event) => {
      const way = keys[event.key];
      if (!way) return;
      const far = event.shiftKey ? SPLIT : STEP;
      place(man, number(input(man, "x")) + way[0] * far, -number(input(man, "y")) + way[1] * far, true);
      event.preventDefault();
    });
    for (const name of ["role", "kind", "x", "y"]) input(man, name).addEventListener("input", () => draw(man));
    draw(man);
  }
  function markWrong() {
    const wrong = (document.getElementById("legality")?.dataset.wrong || "").split(/\s+/);
    for (const man of svg.querySelectorAll("[data-man]")) man.classList.toggle("wrong-spot", wrong.includes(input(man, "role").value));
  }
  document.addEventListener("htmx:afterSwap", markWrong);
  markWrong();
  const scroll = root.querySelector(".field-scroll");
  scroll.scrollLeft = (scroll.scrollWidth - scroll.clientWidth) / 2;
  root.classList.add("ready");
})();
