// A run: a man is touched on the drawing as on the buttons below it.
(() => {
  function mark() {
    const man = document.getElementById("run")?.dataset.man;
    for (const part of document.querySelectorAll("#run [data-drawing] [data-man]")) {
      part.classList.toggle("picked", part.dataset.man === `o:${man}`);
    }
  }
  document.addEventListener("click", (event) => {
    const man = event.target instanceof Element && event.target.closest("#run [data-drawing] [data-man^='o:']");
    if (man) document.getElementById(`pick-${man.dataset.man.slice(2)}`)?.click();
  });
  // The words have no ids, as one that is swapped for another would bring its mark along; so the focus is kept here.
  let picking = false;
  document.addEventListener("htmx:beforeSwap", () => { picking = Boolean(document.activeElement?.closest("#run .picks")); });
  document.addEventListener("htmx:afterSwap", () => {
    mark();
    if (picking) document.querySelector("#run .picks input:checked")?.focus();
  });
  mark();
})();
