// Rules of a front: touch a man on the drawing, drag a rule by its number, or move it with the arrow keys while its number has the focus.
(() => {
  let held = null;
  const rows = (row) => [...row.parentElement.children].filter((other) => other.querySelector(":scope > .handle"));

  function move(row, by) {
    const form = row.querySelector("form.move");
    if (!form || !by) return;
    const values = Object.fromEntries(new FormData(form));
    htmx.ajax("POST", form.action, { target: "#bench", swap: "outerHTML", values: { ...values, to: String(by) } });
  }
  document.addEventListener("keydown", (event) => {
    const by = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    const handle = event.target.closest?.(".sentences .handle");
    if (!handle || !by) return;
    event.preventDefault();
    const row = handle.closest("li"), all = rows(row), to = all.indexOf(row) + by;
    if (to >= 0 && to < all.length) move(row, by);
  });
  document.addEventListener("pointerdown", (event) => {
    const handle = event.target.closest?.(".sentences .handle");
    if (handle) handle.closest("li").draggable = true;
  });
  document.addEventListener("dragstart", (event) => {
    const row = event.target.closest?.(".sentences > li[draggable]");
    if (!row) return;
    held = row;
    row.classList.add("held");
    event.dataTransfer.effectAllowed = "move";
    event.dataTransfer.setData("text/plain", row.id);
  });
  document.addEventListener("dragover", (event) => {
    const over = event.target.closest?.(".sentences > li");
    if (!held || !over || over.parentElement !== held.parentElement) return;
    event.preventDefault();
    const box = over.getBoundingClientRect();
    if (over !== held) held.parentElement.insertBefore(held, event.clientY > box.top + box.height / 2 ? over.nextSibling : over);
  });
  document.addEventListener("click", (event) => {
    const man = event.target.closest?.("#preview [data-man^='d:']");
    const name = man?.dataset.man.slice(2).split(" ").pop();
    [...document.querySelectorAll(".men-pick a")].find((link) => link.textContent === name)?.click();
  });
  document.addEventListener("drop", (event) => { if (held) event.preventDefault(); });
  document.addEventListener("dragend", () => {
    if (!held) return;
    const row = held, now = rows(row).indexOf(row), was = Number(row.querySelector(".handle").textContent) - 1;
    held = null;
    row.draggable = false;
    row.classList.remove("held");
    move(row, now - was);
  });
})();
