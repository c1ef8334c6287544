// The player's sheet: a card's picture over the whole screen, larger and smaller.
(() => {
  const full = document.getElementById("full");
  if (!full) return;
  let back = null;
  document.addEventListener("click", (event) => {
    const picture = event.target instanceof Element && event.target.closest("a.drawing");
    if (picture) back = picture;
    if (event.target instanceof Element && event.target.closest("[data-close]")) full.close();
    const zoom = event.target instanceof Element && event.target.closest("[data-zoom]");
    const drawing = zoom && full.querySelector(".drawing");
    if (!drawing) return;
    const now = Number(drawing.dataset.size || 100);
    const size = Math.min(400, Math.max(100, now * Number(zoom.dataset.zoom)));
    drawing.dataset.size = String(size);
    drawing.style.width = `${size}%`;
  });
  document.addEventListener("htmx:afterSwap", (event) => {
    if (event.detail?.target === full && !full.open) full.showModal();
  });
  full.addEventListener("close", () => {
    full.replaceChildren();
    back?.focus();
  });
})();
