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
    if (!man) return;
    const link = [...document.querySelectorAll(".men-list a")].find((a) => a.dataset.man === man.dataset.man);
    if (link) link.click();
  });

  document.addEventListener("htmx:afterSwap", arrange);
  document.addEventListener("htmx:historyRestore", arrange);
  arrange();
})();
