// Runs a look: men and ball are moved on the drawing to where the server says they are, a tenth of a second apart.
(() => {
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const SPEED = 0.5; // of the real time, so that eyes can follow
  let known = null, run = null; // what is running: { form, data, frame, timer }

  const drawings = (form) => {
    const place = form.parentElement;
    return [...place.querySelectorAll("[data-form]")].map((holder) => ({ name: holder.dataset.form, svg: holder.querySelector("svg") }));
  };

  function shift(svg, shifts, frame) {
    const low = Math.floor(frame), part = frame - low;
    for (const group of svg.querySelectorAll(".moves[data-man]")) {
      const way = shifts[group.dataset.man];
      if (!way) continue;
      const [ax, ay] = way[Math.min(low, way.length - 1)], [bx, by] = way[Math.min(low + 1, way.length - 1)];
      group.setAttribute("transform", `translate(${ax + (bx - ax) * part} ${ay + (by - ay) * part})`);
    }
  }

  function show(frame) {
    const { form, data } = run;
    run.frame = frame;
    const seconds = data.start + frame * data.step, resting = frame === data.snap && !run.timer;
    for (const { name, svg } of drawings(form)) {
      if (!svg) continue;
      svg.toggleAttribute("data-playing", !resting);
      shift(svg, data.forms[name], frame);
      for (const group of svg.querySelectorAll(".moves[data-man]")) {
        const due = data.arrivals[group.dataset.man];
        group.classList.toggle("coming", !resting && due !== undefined && seconds < due);
      }
    }
    form.querySelector("input").value = seconds.toFixed(1);
    form.querySelector("output").textContent = `${seconds.toFixed(1)} s`;
  }

  function stop() {
    if (!run) return;
    cancelAnimationFrame(run.timer);
    run.timer = null;
    const button = run.form.querySelector("[data-run]");
    if (button) button.textContent = "▶ Play";
  }

  function start() {
    const { form, data } = run, last = data.forms.wide.ball.length - 1;
    form.querySelector("[data-run]").textContent = "❚❚ Stop";
    let from = run.frame >= last || run.frame === data.snap ? 0 : run.frame, began = null;
    const step = (now) => {
      began ??= now;
      const frame = Math.min(last, from + ((now - began) / 1000) * SPEED / data.step);
      run.timer = frame < last ? requestAnimationFrame(step) : null;
      show(frame);
      if (frame >= last) stop();
    };
    run.timer = requestAnimationFrame(step);
  }

  async function load() {
    const form = document.querySelector("form[data-play]");
    if (form && form === known) return;
    known = form;
    stop();
    run = null;
    if (!form) return;
    const answer = await fetch(form.dataset.play, { headers: { Accept: "application/json" } }).catch(() => null);
    if (!answer || !answer.ok || !form.isConnected) return;
    const data = await answer.json();
    if (!form.isConnected) return;
    const slider = form.querySelector("input"), last = data.forms.wide.ball.length - 1;
    slider.min = data.start;
    slider.max = (data.start + last * data.step).toFixed(1);
    slider.value = 0;
    form.querySelector("[data-run]").hidden = still.matches;
    const marks = form.querySelector(".marks");
    marks.replaceChildren(...data.marks.map(({ frame, text }) => {
      const item = document.createElement("li");
      item.textContent = text;
      item.style.setProperty("--at", `${(100 * frame) / last}%`);
      return item;
    }));
    form.hidden = false;
    run = { form, data, frame: data.snap, timer: null };
  }

  document.addEventListener("click", (event) => {
    if (!run || !(event.target instanceof Element) || !event.target.closest("[data-run]")) return;
    if (run.timer) { stop(); show(Math.round(run.frame)); } else start();
  });
  document.addEventListener("input", (event) => {
    if (!run || event.target !== run.form.querySelector("input")) return;
    stop();
    show(Math.round((Number(event.target.value) - run.data.start) / run.data.step));
  });

  // On paper nothing moves: three frames stand for it.
  window.addEventListener("beforeprint", () => {
    if (!run) return;
    stop();
    show(run.data.snap);
    const place = run.form.parentElement.querySelector(".frames"), small = drawings(run.form)[1];
    const frames = [["snap", "At the snap"], ["read", "Keys read"], ["fit", "Ball at the line"]];
    place.replaceChildren(...frames.map(([name, words]) => {
      const figure = document.createElement("figure"), caption = document.createElement("figcaption");
      const copy = small.svg.cloneNode(true), frame = run.data.stills[name];
      for (const part of copy.querySelectorAll("[id]")) part.removeAttribute("id");
      copy.removeAttribute("aria-labelledby");
      copy.setAttribute("data-playing", "");
      shift(copy, run.data.forms[small.name], frame);
      caption.textContent = `${words}: ${(run.data.start + frame * run.data.step).toFixed(1)} s`;
      figure.append(copy, caption);
      return figure;
    }));
  });
  window.addEventListener("afterprint", () => document.querySelectorAll(".frames").forEach((place) => place.replaceChildren()));

  document.addEventListener("htmx:afterSwap", load);
  document.addEventListener("htmx:historyRestore", load);
  load();
})();
