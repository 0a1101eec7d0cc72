// Count entry, made nicer: tally by tapping, with the running total against the stop lines. Everything works without it.
(() => {
  const form = document.querySelector("form[data-tally]");
  if (!form) return;
  const field = form.querySelector("input[name=count]");
  const total = Number(form.dataset.total) || 0;
  const few = form.dataset.few === "" ? null : Number(form.dataset.few);
  const many = form.dataset.many === "" ? null : Number(form.dataset.many);
  const box = document.createElement("div");
  box.className = "tally";
  const said = document.createElement("output");
  const button = (text, label, step) => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.setAttribute("aria-label", label);
    made.addEventListener("click", () => {
      field.value = String(Math.max(0, (parseInt(field.value, 10) || 0) + step));
      if (navigator.vibrate) navigator.vibrate(15);
      say();
    });
    return made;
  };
  const say = () => {
    const now = parseInt(field.value, 10);
    if (Number.isNaN(now)) { said.textContent = "Tap once for each one found."; return; }
    const sum = total + now;
    let words = `${now} here, ${sum} in all`;
    if (few !== null && sum <= few) words += ": few enough";
    else if (many !== null && sum >= many) words += ": enough to matter";
    else if (many !== null) words += ": not clear yet";
    said.textContent = words;
  };
  box.append(said, button("−1", "One less", -1), button("+1", "One more found", 1));
  form.querySelector(".more").before(box);
  field.addEventListener("input", say);
  say();
})();
