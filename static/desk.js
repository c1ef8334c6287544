// The desk: the ribbon's widths, the arrow keys, and men touched on the drawing. The page works without it.
(() => {
  const look = () => document.getElementById("look");

  let arranged = null;

  function arrange() {
    const place = look();
    if (!place || place === arranged) return;
    arranged = place;
    if (place.dataset.title) document.title = document.title.replace(/^.*(?= · )/, place.dataset.title);
    for (const item of place.querySelectorAll("[data-part]")) item.style.setProperty("--part", item.dataset.part);
    const ribbon = place.querySelector("[data-ribbon]");
    const here = ribbon && ribbon.querySelector("[aria-current]");
    if (here) ribbon.scrollLeft = here.offsetLeft - (ribbon.clientWidth - here.offsetWidth) / 2;
  }

  function typing(target) {
    return target instanceof Element && target.closest("input, select, textarea, summary, [contenteditable]");
  }

  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || typing(event.target)) return;
    const keyed = document.querySelector(`#look [data-key="${CSS.escape(event.key)}"]`);
    if (keyed) keyed.click();
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const links = [...document.querySelectorAll("[data-ribbon] a[id]")];
    if (!step || !links.length) return;
    const at = links.findIndex((link) => link.hasAttribute("aria-current"));
    const next = links[at < 0 ? 0 : at + step];
    if (!next) return;
    event.preventDefault();
    next.click();
  });

  document.addEventListener("click", (event) => {
    const man = event.target instanceof Element && event.target.closest("[data-drawing] [data-man]");
    if (!man || dragged) return;
    const link = [...document.querySelectorAll(".men-list a")].find((a) => a.dataset.man === man.dataset.man);
    if (link) link.click();
  });

  // A defender dragged: the program proposes the rule that puts him there. With a finger the page is scrolled instead.
  let held = null, dragged = false;
  const units = (svg, event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  document.addEventListener("pointerdown", (event) => {
    dragged = false;
    const man = event.target instanceof Element && event.target.closest("[data-place] .moves[data-man^='d:']");
    const svg = man && man.closest("svg");
    if (!man || event.button || event.pointerType === "touch" || svg.hasAttribute("data-playing")) return;
    event.preventDefault();
    held = { man, svg, from: units(svg, event), dx: 0, dy: 0 };
  });
  document.addEventListener("pointermove", (event) => {
    if (!held) return;
    const now = units(held.svg, event);
    held.dx = now.x - held.from.x;
    held.dy = now.y - held.from.y;
    dragged ||= Math.hypot(held.dx, held.dy) > 6;
    if (dragged) held.man.setAttribute("transform", `translate(${held.dx} ${held.dy})`);
  });
  document.addEventListener("pointerup", () => {
    if (!held) return;
    const { man, svg, dx, dy } = held;
    held = null;
    if (!dragged) return;
    const place = man.closest("[data-place]").dataset.place, form = svg.closest("[data-form]").dataset.form;
    const asked = new URLSearchParams({ man: man.dataset.man.slice(2), dx: dx.toFixed(1), dy: dy.toFixed(1), form });
    htmx.ajax("GET", `${place}${place.includes("?") ? "&" : "?"}${asked}`, { target: "#placed", swap: "innerHTML show:#placed:top" });
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !held) return;
    held.man.removeAttribute("transform");
    held = null;
  });

  document.addEventListener("htmx:afterSwap", arrange);
  document.addEventListener("htmx:historyRestore", arrange);
  arrange();
})();
