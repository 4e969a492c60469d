// Asks for an answer as the form is filled in: the last thing typed wins, and the address says what was asked.
"use strict";
(() => {
  const PAUSE_MS = 40, SAID_AFTER_MS = 700, SLOW_AFTER_MS = 250;
  const form = document.getElementById("form"), result = document.getElementById("result");
  const said = document.getElementById("said"), texts = document.body.dataset;
  let asking = null, timer = 0, saying = 0;

  // What is filled in, by name: a unit only with its figure.
  function filled() {
    const found = new URLSearchParams();
    for (const [name, value] of new FormData(form)) {
      const base = name.endsWith("_unit") ? name.slice(0, -5) : name;
      if (value.trim() && form.elements[base].value.trim()) found.append(name, value);
    }
    return found;
  }

  function remember(query) {
    history.replaceState(null, "", query.size ? `?${query}` : location.pathname);
    for (const link of document.querySelectorAll("nav a")) {
      const names = link.dataset.fields.split(" "), own = new URLSearchParams();
      for (const [name, value] of query) if (names.includes(name)) own.append(name, value);
      link.search = own.toString();
    }
  }

  // What a reader of a screen hears, once typing pauses.
  function say() {
    clearTimeout(saying);
    saying = setTimeout(() => {
      const found = result.querySelectorAll(".summary, .problem, .missing");
      said.textContent = [...found].map((part) => part.textContent).join(" ");
    }, SAID_AFTER_MS);
  }

  function problem(text) {
    const line = document.createElement("p");
    line.className = "problem";
    line.textContent = text;
    result.replaceChildren(line);
  }

  async function ask() {
    const query = filled(), own = new AbortController();
    if (asking) asking.abort();
    asking = own;
    remember(query);
    const slow = setTimeout(() => result.setAttribute("aria-busy", "true"), SLOW_AFTER_MS);
    try {
      const answer = await fetch(`${form.dataset.ask}?${query}`, { signal: own.signal });
      const content = await answer.text();
      if (own.signal.aborted) return;
      if (answer.headers.get("content-type").startsWith("text/html")) {
        // From the server's renderer, which escapes every text.
        result.innerHTML = content;
        offerCopies();
      } else problem(content);
    } catch (error) {
      if (own.signal.aborted) return;
      problem(texts.notReached);
    } finally {
      clearTimeout(slow);
      if (asking === own) {
        result.removeAttribute("aria-busy");
        say();
      }
    }
  }

  async function copy(text, button) {
    let done = true;
    try {
      await navigator.clipboard.writeText(text);
    } catch (error) {
      // An address that is not this computer's own has no clipboard in some browsers.
      const field = document.createElement("textarea");
      field.value = text;
      button.after(field);
      field.select();
      done = document.execCommand("copy");
      field.remove();
      button.focus();
    }
    said.textContent = button.textContent = done ? texts.copied : texts.notCopied;
  }

  function offerCopies() {
    for (const line of result.querySelectorAll('[data-key="order"] > p:first-of-type')) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "copy";
      button.textContent = texts.copy;
      button.addEventListener("click", () => copy(line.textContent, button));
      line.after(button);
    }
  }

  // A list of jobs: a file goes out, its answers come back with a workbook to save.
  async function send(list, file) {
    const workbook = document.getElementById("workbook");
    workbook.hidden = true;
    URL.revokeObjectURL(workbook.href);
    result.setAttribute("aria-busy", "true");
    try {
      const address = `${list.dataset.ask}?${new URLSearchParams({ name: file.name })}`;
      const answer = await (await fetch(address, { method: "POST", body: file })).json();
      result.innerHTML = answer.shown;
      if (answer.workbook) {
        const bytes = Uint8Array.from(atob(answer.workbook), (sign) => sign.charCodeAt(0));
        workbook.href = URL.createObjectURL(new Blob([bytes]));
        workbook.download = answer.name;
        workbook.hidden = false;
      }
    } catch (error) {
      problem(texts.notReached);
    } finally {
      result.removeAttribute("aria-busy");
      say();
    }
  }

  const list = document.getElementById("jobs");
  if (list) {
    const area = list.querySelector(".drop"), chosen = list.querySelector("input");
    chosen.addEventListener("change", () => { if (chosen.files[0]) send(list, chosen.files[0]); });
    for (const name of ["dragover", "dragleave", "drop"]) area.addEventListener(name, (event) => {
      event.preventDefault();
      area.classList.toggle("over", name === "dragover");
      if (name === "drop" && event.dataTransfer.files[0]) send(list, event.dataTransfer.files[0]);
    });
  }

  // Of sizes, those of the family that is chosen.
  function offerSizes(options) {
    const own = options.filter((option) => option.dataset.family === form.elements.family.value);
    document.getElementById("size-list").replaceChildren(...(own.length ? own : options));
  }

  if (form) {
    const options = [...document.querySelectorAll("#size-list option")];
    if (options.length) {
      form.elements.family.addEventListener("change", () => offerSizes(options));
      offerSizes(options);
    }
    form.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(ask, PAUSE_MS);
    });
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("keydown", (event) => {
      // From a field to what it changed.
      if (event.key === "Enter" && event.target.matches("input")) {
        event.preventDefault();
        // A browser would show the middle of what is taller than its window.
        result.focus({ preventScroll: true });
        result.scrollIntoView();
      }
    });
    document.getElementById("print").addEventListener("click", () => window.print());
    offerCopies();
  }
})();
