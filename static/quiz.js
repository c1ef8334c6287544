// The quiz: a spot, a man or a lane is tapped on the picture; numbers choose; a clock where the staff wants one.
(() => {
  let timer = null;
  const form = () => document.querySelector("#quiz form.ask");
  const radios = () => [...form().querySelectorAll("input[type=radio]")];

  function mark() {
    const chosen = form()?.querySelector("input[type=radio]:checked")?.dataset.number;
    for (const part of document.querySelectorAll("#quiz [data-man^='c:']")) {
      part.classList.toggle("picked", part.dataset.man === `c:${chosen}`);
    }
  }

  function choose(radio, send) {
    if (!radio) return;
    radio.checked = true;
    mark();
    if (send) form().requestSubmit(); else radio.focus();
  }

  document.addEventListener("click", (event) => {
    if (!form() || !(event.target instanceof Element)) return;
    const part = event.target.closest("#quiz .question-picture [data-man]"), code = part?.dataset.man;
    if (code) {
      return choose(radios().find((radio) => code === `c:${radio.dataset.number}` || code === `o:${radio.dataset.beside}`), true);
    }
    const label = event.target.closest("#quiz .choice");
    if (label && event.detail > 0) {  // by pointer; keys choose first and send with Enter
      event.preventDefault();
      choose(label.querySelector("input"), true);
    }
  });
  document.addEventListener("change", (event) => { if (form()?.contains(event.target)) mark(); });
  document.addEventListener("keydown", (event) => {
    if (!form() || event.ctrlKey || event.metaKey || event.altKey || event.target.closest?.("input:not([type=radio])")) return;
    const wanted = Number(event.key);
    if (wanted) choose(radios()[wanted - 1], false);
  });

  function clock() {
    clearInterval(timer);
    const asked = form(), bar = asked?.querySelector(".clock"), seconds = Number(asked?.dataset.seconds || 0);
    if (!seconds || !bar) return;
    const end = performance.now() + seconds * 1000;
    bar.hidden = false;
    timer = setInterval(() => {
      if (!asked.isConnected) return clearInterval(timer);
      bar.value = Math.max(0, (end - performance.now()) / 1000);
      if (bar.value > 0) return;
      clearInterval(timer);
      const late = document.createElement("input");
      Object.assign(late, { type: "hidden", name: "late", value: "1" });
      asked.append(late);
      for (const radio of radios()) radio.required = false;
      asked.requestSubmit();
    }, 100);
  }

  document.addEventListener("htmx:afterSwap", () => {
    document.querySelector("#quiz [data-focus]")?.focus({ preventScroll: true });
    clock();
  });
  clock();
})();
