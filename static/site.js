// Small things for every page. Everything works without it.
// "/" goes to the search, wherever one is not typing.
document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.target instanceof Element && event.target.closest("input, select, textarea, [contenteditable]")) return;
  const field = document.querySelector("#id_q") || document.querySelector("#find");
  if (!field) return;
  event.preventDefault();
  if (!field.offsetParent) field.form.classList.add("open"); // a narrow bar has no room for it: it lies over the bar
  field.focus();
  field.select();
});
document.addEventListener("focusout", (event) => {
  if (event.target instanceof Element) event.target.closest(".find.open")?.classList.remove("open");
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && event.target instanceof Element && event.target.closest(".find.open")) event.target.blur();
  if (event.key === "Escape") document.querySelectorAll("details.me[open]").forEach((menu) => menu.removeAttribute("open"));
});
document.addEventListener("htmx:responseError", (event) => {
  const place = document.getElementById("messages");
  if (!place) return;
  const line = document.createElement("p");
  line.className = "message error";
  line.setAttribute("role", "alert");
  line.textContent = event.detail.xhr.status === 404
    ? "That is no longer there. Load the page again."
    : "That did not work; nothing was changed. Load the page again and retry.";
  place.replaceChildren(line);
});
document.addEventListener("htmx:sendError", () => {
  const place = document.getElementById("messages");
  if (place) place.textContent = "The server cannot be reached; nothing was changed.";
});
