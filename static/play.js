// Runs looks: men and ball are moved on their drawings to where the server says they are, a tenth of a second apart.
(() => {
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const SPEED = 0.5; // of the real time, so that eyes can follow
  let known = null, run = null; // what is running: { form, looks, start, end, seconds, timer }

  const drawings = (form) => [...form.parentElement.querySelectorAll("[data-form]")]
    .map((holder) => ({ name: holder.dataset.form, of: Number(holder.dataset.of || 0), svg: holder.querySelector("svg") }));

  function shift(svg, shifts, frame) {
    const low = Math.floor(frame), part = frame - low;
    for (const group of svg.querySelectorAll(".moves[data-man]")) {
      const way = shifts[group.dataset.man];
      if (!way) continue;
      const [ax, ay] = way[Math.min(low, way.length - 1)], [bx, by] = way[Math.min(low + 1, way.length - 1)];
      group.setAttribute("transform", `translate(${ax + (bx - ax) * part} ${ay + (by - ay) * part})`);
    }
  }

  function show(seconds) {
    const { form, looks } = run, resting = seconds === 0 && !run.timer;
    run.seconds = seconds;
    for (const { name, of, svg } of drawings(form)) {
      const look = looks[of];
      svg.toggleAttribute("data-playing", !resting);
      shift(svg, look.forms[name], Math.max(0, (seconds - look.start) / look.step));
      for (const group of svg.querySelectorAll(".moves[data-man]")) {
        const due = look.arrivals[group.dataset.man];
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
    run.form.querySelector("[data-run]").textContent = "▶ Play";
  }

  function start() {
    run.form.querySelector("[data-run]").textContent = "❚❚ Stop";
    const from = run.seconds >= run.end || run.seconds === 0 ? run.start : run.seconds;
    let began = null;
    const step = (now) => {
      began ??= now;
      const seconds = Math.min(run.end, from + ((now - began) / 1000) * SPEED);
      if (seconds >= run.end) stop(); else run.timer = requestAnimationFrame(step);
      show(seconds);
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
    const answers = await Promise.all(form.dataset.play.split(" ").map((address) => fetch(address).catch(() => null)));
    if (answers.some((answer) => !answer?.ok)) return;
    const looks = await Promise.all(answers.map((answer) => answer.json()));
    if (form !== known) return;
    const last = (look) => look.start + (Object.values(look.forms)[0].ball.length - 1) * look.step;
    const begin = Math.min(...looks.map((look) => look.start)), end = Math.max(...looks.map(last));
    const slider = form.querySelector("input");
    slider.min = begin.toFixed(1);
    slider.max = end.toFixed(1);
    slider.value = 0;
    form.querySelector("[data-run]").hidden = still.matches;
    form.querySelector(".marks").replaceChildren(...looks[0].marks.map(({ frame, text }) => {
      const item = document.createElement("li");
      item.textContent = text;
      item.style.setProperty("--at", `${(100 * (looks[0].start + frame * looks[0].step - begin)) / (end - begin)}%`);
      return item;
    }));
    form.hidden = false;
    run = { form, looks, start: begin, end, seconds: 0, timer: null };
    if (form.dataset.start !== undefined && !still.matches) start();
  }

  document.addEventListener("click", (event) => {
    if (!run || !(event.target instanceof Element) || !event.target.closest("[data-run]")) return;
    if (run.timer) { stop(); show(Math.round(run.seconds * 10) / 10); } else start();
  });
  document.addEventListener("input", (event) => {
    if (!run || event.target !== run.form.querySelector("input")) return;
    stop();
    show(Number(event.target.value));
  });

  // On paper nothing moves: three frames stand for it.
  window.addEventListener("beforeprint", () => {
    const place = run?.form.parentElement.querySelector(".frames");
    if (!place) return;
    stop();
    show(0);
    const small = drawings(run.form).find(({ name }) => name === "narrow"), look = run.looks[0];
    const frames = [["snap", "At the snap"], ["read", "Keys read"], ["fit", "Ball at the line"]];
    place.replaceChildren(...frames.map(([name, words]) => {
      const figure = document.createElement("figure"), caption = document.createElement("figcaption");
      const copy = small.svg.cloneNode(true), frame = look.stills[name];
      for (const part of copy.querySelectorAll("[id]")) part.removeAttribute("id");
      copy.removeAttribute("aria-labelledby");
      copy.setAttribute("data-playing", "");
      shift(copy, look.forms.narrow, frame);
      caption.textContent = `${words}: ${(look.start + frame * look.step).toFixed(1)} s`;
      figure.append(copy, caption);
      return figure;
    }));
  });
  window.addEventListener("afterprint", () => document.querySelectorAll(".frames").forEach((place) => place.replaceChildren()));

  for (const changed of ["htmx:afterSwap", "htmx:historyRestore", "look:changed"]) document.addEventListener(changed, load);
  load();
})();
