// The meeting view: keys, a click or a swipe reveal a look step by step, then the next one.
(() => {
  const LAST = 4;
  const view = () => document.querySelector(".meeting");
  const step = () => Number(view().dataset.step);
  let going = false;

  function reveal(to) {
    view().dataset.step = String(to);
    for (const part of view().querySelectorAll("[data-from]")) part.hidden = to < Number(part.dataset.from);
  }

  async function open(address, at) {
    if (!address || going) return;
    going = true;
    try {
      const answer = await fetch(address);
      if (!answer.ok) { location.href = address; return; }
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const next = page.querySelector(".meeting"), ground = view().dataset.ground;
      if (ground) next.dataset.ground = ground;
      view().replaceWith(next);
      document.title = page.title;
      history.replaceState(null, "", address);
      reveal(at);
      document.dispatchEvent(new Event("look:changed"));
    } finally { going = false; }
  }

  function on() { if (step() < LAST) reveal(step() + 1); else open(view().dataset.next, 1); }
  function back() { if (step() > 1) reveal(step() - 1); else open(view().dataset.previous, LAST); }
  function fill() { if (!document.fullscreenElement) document.documentElement.requestFullscreen?.().catch(() => {}); }
  function turn() {
    const dark = matchMedia("(prefers-color-scheme: dark)").matches ? "black" : "white";
    view().dataset.ground = (view().dataset.ground || dark) === "black" ? "white" : "black";
  }

  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const keys = {
      ArrowRight: on, " ": on, PageDown: on, ArrowLeft: back, PageUp: back, f: fill, b: turn,
      p: () => step() === LAST && view().querySelector("[data-run]")?.click(),
      Escape: () => { location.href = view().dataset.leave; },
    };
    if (!keys[event.key] || (event.key === " " && event.target.closest?.("a, button"))) return;
    event.preventDefault();
    keys[event.key]();
  });
  document.addEventListener("click", (event) => {
    const tool = event.target.closest("[data-do]");
    if (tool) ({ on, back, fill, turn })[tool.dataset.do]();
    else if (!event.target.closest("a, button")) on();
  });
  reveal(step());
})();
