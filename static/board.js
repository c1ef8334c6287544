// The board's grid: one tab stop. Arrow keys move, Enter opens (a link), Esc closes, x puts the look away, X the call.
(() => {
  const grid = () => document.querySelector(".heat tbody");
  const rows = () => [...grid().rows].map((row) => [...row.querySelectorAll(".cell")]);
  const place = (cell) => [cell.closest("tr").sectionRowIndex, cell.parentElement.cellIndex - 2];

  function onlyStop(cell) {
    for (const other of grid().querySelectorAll(".cell")) other.tabIndex = other === cell ? 0 : -1;
  }
  function start() {
    if (grid()) onlyStop(grid().querySelector(".cell[aria-current]") || grid().querySelector(".cell"));
  }
  function moved(cell, key) {
    const all = rows(), [row, column] = place(cell);
    const to = { ArrowUp: [row - 1, column], ArrowDown: [row + 1, column], ArrowLeft: [row, column - 1],
      ArrowRight: [row, column + 1], Home: [row, 0], End: [row, all[row].length - 1] }[key];
    return to && all[to[0]]?.[to[1]];
  }
  function mark(cell) {
    for (const other of document.querySelectorAll(".heat .cell[aria-current]")) other.removeAttribute("aria-current");
    cell?.setAttribute("aria-current", "true");
  }
  function close() {
    const panel = document.getElementById("panel");
    if (!panel || !panel.childElementCount) return false;
    const address = new URL(location.href), cell = document.querySelector(".heat .cell[aria-current]");
    panel.replaceChildren();
    address.searchParams.delete("open");
    history.replaceState(history.state, "", address);
    mark(null);
    cell?.focus();
    return true;
  }
  function putAway(key, cell) {
    const address = new URL(location.href), [row, column] = place(cell);
    address.searchParams.append("away", key);
    address.searchParams.delete("open");
    htmx.ajax("GET", address.pathname + address.search, { target: "#board", swap: "outerHTML" }).then(() => {
      history.replaceState(history.state, "", address);
      const all = grid() ? rows() : [];
      const line = all[Math.min(row, all.length - 1)];
      line?.[Math.min(column, line.length - 1)]?.focus();
    });
  }
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Escape" && close()) return event.preventDefault();
    const cell = event.target.closest?.(".heat .cell");
    if (!cell) return;
    const next = moved(cell, event.key);
    if (next) {
      event.preventDefault();
      next.focus();
      next.scrollIntoView({ block: "nearest", inline: "nearest" });
    } else if (event.key === "x") putAway(cell.closest("tr").dataset.away, cell);
    else if (event.key === "X") putAway(cell.dataset.away, cell);
  });
  document.addEventListener("focusin", (event) => {
    if (event.target.matches?.(".heat .cell")) onlyStop(event.target);
  });
  document.addEventListener("click", (event) => {
    if (event.target.closest?.("#panel .close") && close()) event.preventDefault();
    const cell = event.target.closest?.(".heat .cell");
    if (cell) mark(cell);
  });
  document.addEventListener("htmx:afterSwap", (event) => {
    start();
    const panel = document.getElementById("panel");
    if (event.target === panel && panel.getBoundingClientRect().top > innerHeight - 80) panel.scrollIntoView();
  });
  document.addEventListener("DOMContentLoaded", start);
  start();
})();
