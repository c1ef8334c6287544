// Small things for every page. Everything works without it.
document.addEventListener("keydown", (event) => {
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
