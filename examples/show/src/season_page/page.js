"use strict";
// Filters, sorts and opens what the page already holds, draws curves from its figures, and keeps the field sheet. Whatever it
// writes it writes as text, never as markup. Nothing is fetched and nothing is sent.
//
// A page that is given one season after the other runs this for each, and what it returns before the next: that lets go of the
// window. `cardOf` makes the card of a window that the page does not hold.
const seasonPage = ({ cardOf } = {}) => {
  const over = new AbortController(), { signal } = over;
  const $ = (id) => document.getElementById(id);
  const all = (what, from = document) => [...from.querySelectorAll(what)];
  const make = (name, text) => {
    const element = document.createElement(name);
    if (text !== undefined) element.textContent = text;
    return element;
  };
  const narrow = matchMedia("(max-width: 43.99rem)").matches;
  const page = document.querySelector("main[data-zone]").dataset;
  const choose = $("choose"), list = $("list"), look = $("look"), lookBody = $("look-body");
  const entries = all("li", list).filter((entry) => entry.dataset.w);
  const figures = all("#calendar figure");
  const byNumber = new Map(entries.map((entry) => [entry.dataset.w, entry]));
  const lights = choose.elements.light.options.length - 1;
  // What holds where the fragment says nothing: windows of several lights lie over each other, so one is shown.
  const usual = { place: "all", seat: "all", subject: "all", light: lights > 1 ? "0" : "all", sort: "date", weekend: "" };

  const read = () => {
    const text = location.hash.slice(1);
    const plain = /^w(\d+)$/.exec(text);
    const said = plain ? new URLSearchParams({ open: plain[1] }) : new URLSearchParams(text);
    const state = { ...usual, open: said.get("open") ?? "", day: said.get("day") ?? "", column: said.get("column") ?? "" };
    for (const name of Object.keys(usual)) {
      const value = said.get(name);
      const field = choose.elements[name];
      const known = field.options ? [...field.options].some((option) => option.value === value) : value === "1";
      if (value !== null && known) state[name] = value;
    }
    return state;
  };
  const fragment = (state) => {
    const said = new URLSearchParams();
    for (const [name, value] of Object.entries(state)) {
      if (value !== (usual[name] ?? "")) said.set(name, value);
    }
    return "#" + said;
  };
  // Opening adds to the history, so that the way back closes; filters replace.
  const go = (change, adds) => {
    const to = fragment({ ...read(), ...change });
    if (adds) location.hash = to;
    else {
      history.replaceState(null, "", to);
      show();
    }
  };

  let sorted = "date";
  const show = () => {
    const state = read();
    for (const name of Object.keys(usual)) {
      const field = choose.elements[name];
      if (field.type === "checkbox") field.checked = state[name] === "1";
      else field.value = state[name];
    }
    const columns = new Set();
    for (const figure of figures) {
      const fits = ["place", "seat", "subject"].every((name) => state[name] === "all" || figure.dataset[name] === state[name]);
      figure.hidden = !fits;
      if (fits) columns.add(figure.dataset.c);
    }
    const fits = (element) => (state.light === "all" || element.dataset.l === state.light);
    let shown = 0;
    for (const entry of entries) {
      entry.hidden = !(columns.has(entry.dataset.c) && fits(entry) && (!state.weekend || entry.classList.contains("we")));
      shown += entry.hidden ? 0 : 1;
    }
    for (const bar of all("#calendar .bar")) {
      bar.classList.toggle("gone", !(fits(bar) && (!state.weekend || bar.classList.contains("we"))));
    }
    for (const why of all("#whys details")) why.hidden = !(columns.has(why.dataset.c) && fits(why));
    if (sorted !== state.sort) {
      sorted = state.sort;
      const by = sorted === "rank" ? (entry) => Number(entry.dataset.r) : (entry) => Number(entry.dataset.w);
      list.append(...entries.slice().sort((a, b) => by(a) - by(b) || Number(a.dataset.w) - Number(b.dataset.w)));
    }
    $("shown").textContent = `${shown} of ${entries.length} windows`;
    if (state.open) openWindow(byNumber.get(state.open));
    else if (state.day) openDay(state);
    else if (look.open) look.close();
  };

  // What is looked at is lent by its entry and goes back when the dialog closes.
  let lent = null;
  const giveBack = () => {
    if (lent) lent.from.append(lent.what);
    lent = null;
    lookBody.replaceChildren();
  };
  const openDialog = (name) => {
    $("look-name").textContent = name;
    if (!look.open) look.showModal();
    look.scrollTop = 0;
  };
  const openWindow = (entry) => {
    giveBack();
    if (!entry) return;
    const summary = entry.querySelector("summary");
    const lines = [...summary.children].slice(1).map((line) => line.cloneNode(true));
    const what = entry.querySelector(".told");
    lent = { what, from: what.parentElement };
    const after = make("button", "Note what was seen");
    after.type = "button";
    after.addEventListener("click", () => startVisit(entry));
    const buttons = make("p");
    buttons.append(after);
    const offer = (words, does) => {
      const button = make("button", words);
      button.type = "button";
      button.addEventListener("click", () => does(button));
      buttons.append(" ", button);
    };
    const card = what.querySelector("article.card");
    if (card) offer("Print the card", () => printCard(card));
    else if (cardOf) {
      offer("Show the card", (button) => {
        const made = cardOf(entry.dataset);
        if (!made) return;
        what.append(made);
        button.remove();
        offer("Print the card", () => printCard(made.querySelector("article.card")));
        made.open = true;
        made.scrollIntoView();
      });
    }
    lookBody.append(...lines, buttons, what);
    draw(what);
    openDialog(summary.querySelector(".head").textContent);
  };
  const openDay = (state) => {
    giveBack();
    const figure = figures.find((figure) => figure.dataset.c === state.column);
    if (!figure) return;
    const told = all(`#whys details`).filter((why) => why.dataset.c === state.column && !why.hidden)
      .flatMap((why) => [...all("p", why), ...all("li", why).filter((day) => day.dataset.d === state.day)]);
    for (const day of told) lookBody.append(make("p", day.textContent));
    if (!told.length) lookBody.append(make("p", "Nothing stands against this day in this light."));
    openDialog(`Why not: ${figure.querySelector("figcaption").textContent}`);
  };
  const printCard = (card) => {
    const paper = make("div");
    paper.id = "paper";
    const copy = card.cloneNode(true);
    for (const named of all("[id]", copy)) named.removeAttribute("id");
    paper.append(copy);
    document.body.append(paper);
    document.body.classList.add("one-card");
    addEventListener("afterprint", () => {
      document.body.classList.remove("one-card");
      paper.remove();
    }, { once: true });
    print();
  };

  // Tide and sun of a window, drawn when it is first looked at.
  const svg = (name, attributes, text) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (text !== undefined) element.textContent = text;
    return element;
  };
  const numbers = (text) => text.split(" ").map(Number);
  const draw = (inside) => {
    const box = inside.querySelector(".curve");
    if (!box || box.firstChild) return;
    const { step, sun, water, upper, levels, hours, shut, leave } = box.dataset;
    const left = 34, right = 336, width = 440, tall = 110, top = 8;
    const suns = numbers(sun), last = (suns.length - 1) * Number(step);
    const x = (minute) => left + (right - left) * Math.min(Math.max(minute / last, 0), 1);
    const drawing = svg("svg", { role: "img" });
    let foot = top;
    const put = (name, attributes, text) => drawing.append(svg(name, attributes, text));
    const points = (values, y) => values.map((value, at) => `${x(at * step).toFixed(1)},${y(value).toFixed(1)}`).join(" ");
    const [from, to] = numbers(box.dataset.window);
    const pictures = svg("rect", { class: "pictures", x: x(from), width: Math.max(x(to) - x(from), 1), y: top });
    drawing.append(pictures);
    if (water) {
      const sea = numbers(water), most = sea.map((value) => value + Number(upper));
      const marks = levels ? levels.split(",").map((mark) => [parseFloat(mark), mark.replace(/^\S+ /, "")]) : [];
      const low = Math.min(...sea) - 20, high = Math.max(...most, ...marks.map((mark) => mark[0])) + 20;
      const y = (level) => top + tall * (1 - Math.min(Math.max((level - low) / (high - low), 0), 1));
      if (shut) {
        const [cut, clear] = numbers(shut);
        put("rect", { class: "shut-way", x: x(cut), width: Math.max(x(clear) - x(cut), 0), y: top + tall - 6, height: 6 });
      }
      for (let metre = Math.ceil(low / 100); metre <= high / 100; metre += 1) {
        put("line", { class: "grid", x1: left, x2: right, y1: y(metre * 100), y2: y(metre * 100) });
        put("text", { class: "end", x: left - 4, y: y(metre * 100) + 4 }, `${metre} m`);
      }
      put("polyline", { class: "sea", points: points(sea, y) });
      put("polyline", { class: "sea-upper", points: points(most, y) });
      let free = -Infinity;
      for (const [level, name] of marks.sort((a, b) => b[0] - a[0])) {
        put("line", { class: "level", x1: left, x2: right, y1: y(level), y2: y(level) });
        free = Math.max(y(level), free + 12);
        put("text", { x: right + 6, y: free + 4 }, `${name} ${(level / 100).toFixed(2)}`);
      }
      if (leave) {
        const [minute, clock] = [parseFloat(leave), leave.replace(/^\S+ /, "")];
        put("line", { class: "leave", x1: x(minute), x2: x(minute), y1: top, y2: top + tall });
        put("text", { class: x(minute) > 180 ? "end strong" : "strong", x: x(minute) + (x(minute) > 180 ? -4 : 4), y: top + 12 }, `leave by ${clock}`);
      }
      foot = top + tall + 14;
    }
    const sky = 56, highest = Math.max(120, ...suns) + 20, lowest = Math.min(-80, ...suns);
    const y = (altitude) => foot + sky * (1 - (altitude - lowest) / (highest - lowest));
    put("rect", { class: "below", x: left, width: right - left, y: y(0), height: foot + sky - y(0) });
    put("polyline", { class: "sun-line", points: points(suns, y) });
    put("text", { x: right + 6, y: y(0) + 4 }, "horizon");
    put("text", { class: "end", x: left - 4, y: y(0) + 4 }, "0\u00b0");
    put("text", { class: "end", x: left - 4, y: foot + 10 }, "sun");
    const named = hours ? hours.split(",") : [], every = Math.max(1, Math.ceil(named.length / 8));
    for (const hour of named.filter((_, at) => at % every === 0)) {
      const at = x(parseFloat(hour));
      put("line", { class: "grid", x1: at, x2: at, y1: top, y2: foot + sky + 4 });
      put("text", { class: "middle", x: at, y: foot + sky + 16 }, hour.replace(/^\S+ /, ""));
    }
    pictures.setAttribute("height", foot + sky - top);
    drawing.setAttribute("viewBox", `0 0 ${width} ${(foot + sky + 22).toFixed(0)}`);
    drawing.setAttribute("aria-label", water ? "Expected water, upper water (dashed) and sun; pictures shaded" : "Sun; pictures shaded");
    box.append(drawing);
  };

  // The field sheet.
  const form = $("visit"), key = `field sheet: ${page.name}`;
  const load = (name, otherwise) => {
    try {
      return JSON.parse(localStorage.getItem(name)) ?? otherwise;
    } catch {
      return otherwise;
    }
  };
  const keep = (name, value) => {
    try {
      localStorage.setItem(name, JSON.stringify(value));
      return true;
    } catch {
      $("kept").textContent = "This browser keeps nothing for this page: save the file before you close it.";
      return false;
    }
  };
  const found = load(key, []);
  let visits = Array.isArray(found) ? found.filter((visit) => visit && typeof visit === "object" && !Array.isArray(visit)) : [];
  const fields = [...form.elements].filter((field) => field.name);
  const filled = () => Object.fromEntries(fields.filter((field) => field.value.trim()).map((field) => [field.name, field.value.trim()]));
  const fill = (visit) => fields.forEach((field) => {
    field.value = typeof visit[field.name] === "string" ? visit[field.name] : "";
  });

  // The instant of a civil time in the zone of the page, with its offset: the log must not have to guess.
  const offsetOf = (zone, at) => {
    const part = new Intl.DateTimeFormat("en", { timeZone: zone, timeZoneName: "longOffset" }).formatToParts(at)
      .find((part) => part.type === "timeZoneName").value.replace("GMT", "");
    return part || "+00:00";
  };
  const minutesOf = (offset) => {
    const [, sign, hours, minutes] = /^([+-])(\d\d):(\d\d)/.exec(offset);
    return (sign === "-" ? -1 : 1) * (Number(hours) * 60 + Number(minutes));
  };
  const instant = (civil) => {
    const utc = Date.parse(civil + "Z");
    for (const guess of [-86400000, 86400000]) {
      const offset = offsetOf(page.zone, new Date(utc + guess));
      const at = utc - minutesOf(offset) * 60000;
      if (offsetOf(page.zone, new Date(at)) === offset) return { at, offset };
    }
    return null;
  };

  const problems = (visit) => {
    const said = [];
    for (const field of fields) {
      const label = form.querySelector(`label[for="${field.id}"]`).textContent;
      if (!field.validity.valid) said.push(`${label}: ${field.validationMessage}`);
    }
    const number = (name) => (visit[name] === undefined ? undefined : Number(visit[name]));
    const some = (name) => number(name) > 0;
    // The contradictions that the log refuses: better told in the field than after it.
    const rungs = ["called_off", "absent", "out_of_range", "in_range", "picture", "select"];
    if (visit.outcome === "absent" && some("count")) said.push("Animals were counted, yet the outcome is absent.");
    if (rungs.indexOf(visit.outcome) > 1 && number("count") === 0) said.push("None was counted, yet the outcome says that they were there.");
    if (visit.outcome === "called_off" && (some("pictures") || some("selects") || some("flushes"))) said.push("Called off, yet pictures or flights were noted.");
    if (number("selects") > number("pictures")) said.push("More pictures kept than made.");
    if (some("selects") && visit.outcome !== "select") said.push("Pictures were kept, yet the outcome is not select.");
    if (visit.unease_distance_m && visit.unease === undefined) said.push("A distance of unease needs its sign.");
    if (some("flushes") && visit.unease !== undefined && number("unease") < 4) said.push("They were put to flight, which is sign 4.");
    if (visit.wind && !/^(calm|0|(N|NNE|NE|ENE|E|ESE|SE|SSE|S|SSW|SW|WSW|W|WNW|NW|NNW)(\d|1[0-2]))$/i.test(visit.wind.replace(/\s/g, ""))) said.push("Wind: write the point it comes from and the force, like W3, or calm.");
    const seat = [...form.elements.seat.options].find((option) => option.value === visit.seat);
    if (visit.seat && seat && visit.place && seat.dataset.place !== visit.place) said.push("That seat is at another place.");
    if (visit.when) {
      const at = instant(visit.when);
      if (!at) said.push("When: the clocks went forward over that time.");
      else if (at.at > Date.now() + 300000) said.push("When: that time has not come yet.");
    }
    return said;
  };
  const line = (visit) => {
    const { offset } = instant(visit.when) ?? { offset: "" };
    return JSON.stringify({ ...visit, when: visit.when + offset });
  };
  const file = () => new File(visits.map((visit) => line(visit) + "\n"), "visits.jsonl", { type: "application/jsonl" });

  const showVisits = () => {
    $("visits").replaceChildren(...visits.map((visit, at) => {
      const item = make("li", `${String(visit.when).replace("T", " ")}, ${visit.seat ?? visit.place}: ${String(visit.outcome).replaceAll("_", " ")} `);
      const change = make("button", "Change"), remove = make("button", "Take out");
      const drop = () => {
        visits = visits.filter((_, other) => other !== at);
        keep(key, visits);
        showVisits();
      };
      change.type = remove.type = "button";
      const which = `the visit of ${String(visit.when).replace("T", " ")}`;
      change.setAttribute("aria-label", `Change ${which}`);
      remove.setAttribute("aria-label", `Take out ${which}`);
      change.addEventListener("click", () => {
        fill(visit);
        editing = visit.id;
        keep(key + ", unfinished", { ...filled(), id: editing });
        form.elements.when.focus();
      });
      remove.addEventListener("click", () => {
        if (confirm(`Take out ${which}? It is gone then.`)) drop();
      });
      item.append(change, " ", remove);
      return item;
    }));
    $("save").disabled = !visits.length;
  };
  let editing = "";
  const startVisit = (entry) => {
    const figure = figures.find((figure) => figure.dataset.c === entry.dataset.c);
    const { place, seat, subject } = figure.dataset;
    const unfinished = filled();
    if (!unfinished.outcome || confirm("A visit has been begun and not kept. Begin another in its place?")) {
      editing = "";
      fill({ when: entry.dataset.t, place, seat, subject });
      keep(key + ", unfinished", filled());
    }
    go({ open: "", day: "", column: "" }, false);
    $("sheet").scrollIntoView();
    form.elements.outcome.focus();
  };
  form.addEventListener("input", (event) => {
    if (event.target.name === "seat") {
      const option = event.target.selectedOptions[0];
      if (option && option.dataset.place) form.elements.place.value = option.dataset.place;
    }
    keep(key + ", unfinished", { ...filled(), id: editing });
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const visit = filled(), said = problems(visit);
    $("wrong").textContent = said.join("\n");
    if (said.length) return;
    // Its name makes a second import of the same file harmless.
    visit.id = editing || `${visit.when.replace(/\D/g, "")}-${Math.random().toString(36).slice(2, 8)}`;
    visits = [...visits.filter((other) => other.id !== visit.id), visit];
    if (keep(key, visits)) $("kept").textContent = "Kept on this device.";
    editing = "";
    fill({});
    keep(key + ", unfinished", {});
    showVisits();
  });
  $("save").addEventListener("click", () => {
    const link = make("a");
    link.href = URL.createObjectURL(file());
    link.download = "visits.jsonl";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  });
  $("share").addEventListener("click", () => navigator.share({ files: [file()] }).catch(() => {}));
  if (navigator.canShare && navigator.canShare({ files: [file()] })) $("share").hidden = false;
  const unfinished = load(key + ", unfinished", {});
  if (unfinished && typeof unfinished === "object") {
    fill(unfinished);
    editing = typeof unfinished.id === "string" ? unfinished.id : "";
  }
  showVisits();

  choose.addEventListener("change", (event) => {
    const field = event.target;
    go({ [field.name]: field.type === "checkbox" ? (field.checked ? "1" : "") : field.value, open: "", day: "", column: "" }, false);
  });
  choose.addEventListener("submit", (event) => event.preventDefault());
  $("calendar").addEventListener("click", (event) => {
    const bar = event.target.closest("a.bar");
    if (bar) {
      event.preventDefault();
      go({ open: bar.dataset.w, day: "", column: "" }, true);
      return;
    }
    const strip = event.target.closest("svg.strip");
    if (!strip) return;
    const figure = strip.parentElement;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(strip.getScreenCTM().inverse());
    const row = Math.floor((at.y - Number(page.head)) / Number(page.row));
    const day = new Date(Date.parse(figure.dataset.from + "T00:00Z") + row * 86400000).toISOString().slice(0, 10);
    if (row < 0 || day.slice(0, 7) !== figure.dataset.from.slice(0, 7)) return;
    const windows = entries.filter((entry) => !entry.hidden && entry.dataset.c === figure.dataset.c && entry.dataset.d === day);
    if (windows.length) go({ open: windows[0].dataset.w, day: "", column: "" }, true);
    else go({ open: "", day, column: figure.dataset.c }, true);
  });
  list.addEventListener("toggle", (event) => {
    if (event.target.open) draw(event.target);
  }, true);
  $("close").addEventListener("click", () => look.close());
  look.addEventListener("close", () => {
    giveBack();
    const state = read();
    if (state.open || state.day) go({ open: "", day: "", column: "" }, false);
  }, { signal });
  addEventListener("hashchange", show, { signal });

  // A choice of one is none.
  for (const field of all("select", choose)) field.parentElement.hidden = field.name !== "sort" && field.options.length < 3;
  choose.hidden = false;
  $("sheet").hidden = false;
  if (narrow) {
    // A phone shows one seat, and of the months the first that has a window there.
    if (!location.hash && entries.length) {
      const best = entries.reduce((a, b) => (Number(b.dataset.r) < Number(a.dataset.r) ? b : a));
      const figure = figures.find((figure) => figure.dataset.c === best.dataset.c);
      history.replaceState(null, "", fragment({ ...read(), seat: figure.dataset.seat, subject: figure.dataset.subject }));
    }
    const months = all(".month");
    const first = months.findIndex((month) => all("figure", month).some((figure) => figure.querySelector(".bar")));
    months.forEach((month, at) => { month.open = at === Math.max(first, 0); });
    addEventListener("beforeprint", () => months.forEach((month) => { month.open = true; }), { signal });
  }
  show();
  document.body.dataset.ready = "yes";
  return () => {
    over.abort();
    look.close();
  };
};
if (document.getElementById("list")) seasonPage();
