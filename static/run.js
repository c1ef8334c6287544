// Men with jobs: one is touched on the drawing as on the buttons below it.
(() => {
  function mark() {
    const place = document.querySelector("[data-jobs]");
    if (!place) return;
    for (const part of place.querySelectorAll("[data-drawing] [data-man]")) {
      part.classList.toggle("picked", part.dataset.man === `${place.dataset.jobs}:${place.dataset.man}`);
    }
  }
  document.addEventListener("click", (event) => {
    const man = event.target instanceof Element && event.target.closest("[data-jobs] [data-drawing] [data-man]");
    const [side, role] = man ? man.dataset.man.split(":") : [];
    if (man && side === man.closest("[data-jobs]").dataset.jobs) {
      [...document.querySelectorAll("[data-pick]")].find((button) => button.dataset.pick === role)?.click();
    }
  });
  // The words have no ids, as one that is swapped for another would bring its mark along; so the focus is kept here.
  let picking = "";
  document.addEventListener("htmx:beforeSwap", () => { picking = document.activeElement?.closest("[data-jobs] .picks input")?.name || ""; });
  document.addEventListener("htmx:afterSwap", () => {
    mark();
    if (picking) document.querySelector(`[data-jobs] .picks input[name="${picking}"]:checked`)?.focus();
  });
  mark();
})();
