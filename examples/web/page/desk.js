// The desk: what is asked for, from which scenario. It asks the program, shows the answer through one narrow door, and keeps
// what was typed on the device. Nothing is fetched and nothing is sent.
(() => {
  const $ = (id) => document.getElementById(id);
  const make = (name, text) => {
    const element = document.createElement(name);
    if (text !== undefined) element.textContent = text;
    return element;
  };

  // The one door by which markup comes in. The program escapes every text of a scenario; should it ever fail to, what is not on
  // these lists stays out, and so does the whole.
  const ELEMENTS = new Set(("a article aside b br button caption circle clipPath code dd defs desc details dialog div dl dt ellipse em " +
    "fieldset figcaption figure footer form g h1 h2 h3 header hr i input label legend li line main marker mask ol optgroup option " +
    "output p path pattern polygon polyline pre rect section select small span strong sub summary sup svg table tbody td text " +
    "textarea tfoot th thead title tr tspan ul use").split(" "));
  const leadsOut = new Map();
  const leads = (name, value) => {
    if (name === "href" || name === "xlink:href") return !value.startsWith("#");
    if (!leadsOut.has(name)) leadsOut.set(name, /^(on.*|src.*|style|.*action|ping|target)$/.test(name));
    return leadsOut.get(name);
  };
  const admitted = (markup) => {
    const parsed = new DOMParser().parseFromString(rooms.createHTML(markup), "text/html");
    for (const element of parsed.body.querySelectorAll("*")) {
      if (!ELEMENTS.has(element.localName)) throw new Error(`<${element.localName}> has no place here`);
      for (const { name, value } of element.attributes) {
        if (leads(name, value)) throw new Error(`${name} has no place here`);
      }
    }
    const piece = document.createDocumentFragment();
    piece.append(...[...parsed.body.childNodes].map((node) => document.adoptNode(node)));
    return piece;
  };

  // The program: a text goes in, a text comes out. A panic ends an instance; the next question gets a new one.
  let module, instance;
  const ask = (question) => {
    try {
      instance ??= new WebAssembly.Instance(module, {});
      const { memory, wrackline_room, wrackline_answer, wrackline_length } = instance.exports;
      const text = new TextEncoder().encode(JSON.stringify(question));
      const room = wrackline_room(text.length) >>> 0;
      new Uint8Array(memory.buffer, room, text.length).set(text);
      const at = wrackline_answer() >>> 0;
      return JSON.parse(new TextDecoder().decode(new Uint8Array(memory.buffer, at, wrackline_length())));
    } catch (error) {
      instance = undefined;
      return { trouble: `the computation broke off (${error.message}); nothing of yours is lost` };
    }
  };

  // What is kept on the device.
  const KEPT = "the desk", UNDERWAY = "the desk, planning";
  const today = (zone) => {
    const part = Object.fromEntries(new Intl.DateTimeFormat("en", { timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit" })
      .formatToParts().map(({ type, value }) => [type, value]));
    return `${part.year.padStart(4, "0")}-${part.month}-${part.day}`;
  };
  const fresh = () => ({
    files: null, wanted: { from: today(), days: 90, place: "", subject: "", light: "", tide: "both" }, changes: [], day: today(), claim: null, open: [],
  });
  const load = () => {
    const state = fresh();
    try {
      const kept = JSON.parse(localStorage.getItem(KEPT)) ?? {};
      const texts = Array.isArray(kept.files) && kept.files.length && kept.files.every((one) => typeof one?.name === "string" && typeof one?.text === "string");
      if (texts) state.files = kept.files.map(({ name, text }) => ({ name, text }));
      for (const name of Object.keys(state.wanted)) {
        if (typeof kept.wanted?.[name] === typeof state.wanted[name]) state.wanted[name] = kept.wanted[name];
      }
      if (Array.isArray(kept.changes)) state.changes = kept.changes.filter((one) => one && typeof one.table === "string" && typeof one.value === "number");
      if (typeof kept.day === "string") state.day = kept.day;
      if (typeof kept.claim === "string") state.claim = kept.claim;
      if (Array.isArray(kept.open)) state.open = kept.open;
    } catch { /* What cannot be read is as good as nothing. */ }
    return state;
  };
  const state = load();
  const note = (name, value) => {
    try {
      if (value === null) localStorage.removeItem(name);
      else localStorage.setItem(name, value);
      return true;
    } catch {
      return false;
    }
  };
  const keep = () => {
    if (!note(KEPT, JSON.stringify(state))) say("This browser keeps nothing for this page: save the files before you close it.");
  };

  let demo, checked, close = () => {};
  const say = (text) => { $("my-state").textContent = text; };
  const files = () => state.files ?? [demo.scenario];
  const from = (changes = state.changes) => ({ files: files(), changes, demo: !state.files });
  const wanted = () => {
    const { from, days, place, subject, light, tide } = state.wanted;
    return { from, days, place: place || null, subject: subject || null, light: light || null, tide };
  };
  const words = ({ trouble, problems }) => trouble ?? `${problems.length} ${problems.length === 1 ? "problem" : "problems"}: nothing was computed`;

  // What is wrong, each with its line; a tap goes there.
  const showProblems = (answer) => {
    const box = $("my-problems");
    box.replaceChildren();
    if (!answer) return;
    box.append(Object.assign(make("p", words(answer)), { className: "mind" }));
    if (!answer.problems) return;
    const list = make("ul");
    for (const { file, line, column, field, what, remedy } of answer.problems) {
      const there = make("button", `${file}:${line}:${column}: ${field ? field + ": " : ""}${what}; ${remedy}`);
      there.type = "button";
      there.addEventListener("click", () => goToLine(file, line));
      const item = make("li");
      item.append(there);
      list.append(item);
    }
    box.append(list);
  };
  const goToLine = (name, line) => {
    $("my-scenario").open = true;
    const which = files().findIndex((one) => one.name === name);
    $("my-which").value = String(Math.max(which, 0));
    showText();
    const text = $("my-text");
    const lines = text.value.split("\n");
    const start = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
    text.focus();
    text.setSelectionRange(start, start + (lines[line - 1] ?? "").length);
    text.scrollTop = text.scrollHeight * Math.max(0, line - 4) / lines.length;
  };

  // The scenario as text.
  const showText = () => {
    const list = files(), which = $("my-which");
    const at = Math.min(Number(which.value) || 0, list.length - 1);
    which.replaceChildren(...list.map(({ name }, number) => Object.assign(make("option", name), { value: String(number) })));
    which.value = String(at);
    $("my-which-row").hidden = list.length < 2;
    $("my-text").value = list[at].text;
  };
  const options = (select, first, list, value) => {
    select.replaceChildren(...[["", first], ...list].map(([word, read]) => Object.assign(make("option", read), { value: word })));
    select.value = list.some(([word]) => word === value) ? value : "";
  };
  const showChoices = () => {
    const form = $("my-season").elements, { wanted } = state;
    const named = (list) => list.map(({ id, name }) => [id, name]);
    const own = checked.subjects.find(({ id }) => id === checked.project_subject);
    options(form.place, "all places", named(checked.places), wanted.place);
    options(form.subject, own ? `the project's: ${own.name}` : "all subjects", [...named(checked.subjects), ...(own ? [["all", "all subjects"]] : [])], wanted.subject);
    options(form.light, checked.lights[0], [...checked.lights.slice(1).map((name) => [name, name]), ["all", "every light"]], wanted.light);
    form.from.value = wanted.from;
    form.days.value = wanted.days;
    form.tide.value = wanted.tide;
    for (const name of ["place", "subject", "light"]) state.wanted[name] = form[name].value;
  };

  // Figures that can be changed.
  const same = (change, figure) => change.table === figure.table && (change.of ?? null) === figure.of && change.field === figure.field;
  const plain = (value) => Number(value.toPrecision(12));
  const showFigures = () => {
    const form = $("my-changes");
    form.replaceChildren(...checked.figures.map((figure, at) => {
      const change = state.changes.find((one) => same(one, figure)), own = plain(figure.own);
      const row = make("p"), label = make("label", `${figure.name}, ${figure.unit}`), input = make("input"), told = make("span");
      input.id = `my-figure-${at}`;
      input.type = "number";
      input.inputMode = "decimal";
      input.step = "any";
      if (figure.rule === "more") input.min = own;
      if (figure.rule === "less") input.max = own;
      input.value = change ? change.value : own;
      label.htmlFor = input.id;
      told.className = "soft";
      told.id = `${input.id}-told`;
      const guard = { more: "or more", less: "or less", either: "" }[figure.rule];
      told.textContent = `scenario: ${own} ${figure.unit}${guard ? `, ${guard}` : ""}${figure.guards ? ` (guards ${figure.guards})` : ""}`;
      input.setAttribute("aria-describedby", told.id);
      row.classList.toggle("moved", Boolean(change));
      input.addEventListener("change", () => changeFigure(figure, input));
      row.append(label, input, told);
      return row;
    }));
  };
  const changeFigure = (figure, input) => {
    const others = state.changes.filter((one) => !same(one, figure)), value = input.valueAsNumber;
    const change = { table: figure.table, of: figure.of, field: figure.field, value };
    const changes = Number.isFinite(value) && value !== plain(figure.own) ? [...others, change] : others;
    // The program decides whether it may be so.
    const answer = ask({ check: { from: from(changes) } });
    const refused = answer.good ? answer.good.refused : words(answer);
    if (refused) {
      input.value = state.changes.find((one) => same(one, figure))?.value ?? plain(figure.own);
      $("my-moved").replaceChildren(Object.assign(make("p", refused), { className: "mind" }));
      return;
    }
    state.changes = changes;
    input.closest("p").classList.toggle("moved", changes.length > others.length);
    if (!Number.isFinite(value)) input.value = plain(figure.own);
    keep();
    plan();
  };

  // Which windows the changes open and close, against the scenario as it is written.
  const windowsOf = (piece) => {
    const found = new Map(), times = new Map();
    for (const entry of piece.querySelectorAll("#list > li")) {
      const { d, c, l } = entry.dataset, many = times.get(d + c + l) ?? 0;
      times.set(d + c + l, many + 1);
      const [head, where] = entry.querySelectorAll("summary > span");
      found.set(`${d} ${c} ${l} ${many}`, { day: d, head: head.textContent, where: where.textContent });
    }
    return found;
  };
  let unchanged = { key: "", windows: null };
  const keyOf = () => JSON.stringify([files(), state.wanted]);
  const showMoved = (now) => {
    const box = $("my-moved");
    box.replaceChildren();
    if (!state.changes.length) {
      unchanged = { key: keyOf(), windows: now };
      return;
    }
    if (unchanged.key !== keyOf()) {
      const answer = ask({ page: { from: from([]), wanted: wanted(), cards: 0 } });
      if (answer.text === undefined) return;
      unchanged = { key: keyOf(), windows: windowsOf(admitted(answer.text)) };
    }
    const before = unchanged.windows;
    const only = (these, those) => [...these].filter(([key]) => !those.has(key)).map(([, one]) => one);
    const other = [...now].filter(([key, one]) => before.has(key) && before.get(key).head !== one.head).map(([, one]) => one);
    const lists = [["closed", only(before, now)], ["opened", only(now, before)], ["with other times", other]];
    const told = lists.map(([word, list]) => `${list.length} ${word}`).join(", ");
    box.append(make("p", `Against the scenario as it is written: ${told}.`));
    for (const [word, list] of lists.filter(([, list]) => list.length)) {
      const all = make("details"), items = make("ul");
      items.append(...list.map(({ head, where }) => make("li", `${head}; ${where}`)));
      all.append(make("summary", `${list.length} ${word}`), items);
      box.append(all);
    }
  };

  // The season.
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const check = () => {
    const answer = ask({ check: { from: from() } });
    if (!answer.good) {
      showProblems(answer);
      return false;
    }
    checked = answer.good;
    showProblems(null);
    if (checked.refused) {
      // What the scenario no longer has, or has grown stricter than, is let go, and said.
      state.changes = [];
      showProblems({ trouble: `your changes were let go: ${checked.refused}` });
    }
    $("my-cautions").replaceChildren(make("h2", "Cautions"), ...checked.cautions.map((text) => make("p", text)));
    document.title = `${checked.title}: wrackline`;
    showChoices();
    showFigures();
    return true;
  };
  const cardOf = ({ r, l, w, d, c }) => {
    const light = state.wanted.light === "all" ? checked.lights[Number(l)] : state.wanted.light || null;
    const answer = ask({ card_of_window: { from: from(), wanted: { ...wanted(), light }, rank: Number(r), number: Number(w) } });
    if (answer.text === undefined) {
      showProblems(answer);
      return null;
    }
    const card = admitted(answer.text).firstElementChild;
    const { seat, subject } = document.querySelector(`#calendar figure[data-c="${c}"]`).dataset;
    const button = make("button", "Save the card of this day and seat");
    button.type = "button";
    button.addEventListener("click", () => {
      const alone = ask({ card: { from: from(), wanted: { today: d, date: d, seat, subject, light, tide: state.wanted.tide } } });
      if (alone.text === undefined) showProblems(alone);
      else save(`card-${d}-${seat.replace(/[^\w-]/g, "_")}.html`, "text/html", alone.text);
    });
    card.append(button);
    return card;
  };
  let planning = false, again = false;
  const plan = async () => {
    if (planning) {
      again = true;
      return;
    }
    planning = true;
    say("Planning \u2026");
    // There is nothing to look at before the first.
    if (document.body.dataset.planned) await painted();
    note(UNDERWAY, "yes");
    const answer = ask({ page: { from: from(), wanted: wanted(), cards: 0 } });
    close();
    close = () => {};
    // A window or a day that was open belongs to the plan before.
    if (document.body.dataset.planned) {
      const kept = new URLSearchParams(location.hash.slice(1));
      for (const name of ["open", "day", "column"]) kept.delete(name);
      if (location.hash) history.replaceState(null, "", `#${kept}`);
    }
    if (answer.text === undefined) {
      showProblems(answer);
      $("my-page").replaceChildren();
      say("");
    } else {
      const piece = admitted(answer.text);
      const now = windowsOf(piece);
      $("my-page").replaceChildren(piece);
      close = seasonPage({ cardOf });
      say(`${now.size} ${now.size === 1 ? "window" : "windows"}, from ${state.wanted.from} for ${state.wanted.days} days${state.changes.length ? `; ${state.changes.length} ${state.changes.length === 1 ? "figure" : "figures"} changed` : ""}.`);
      showMoved(now);
    }
    $("my-cautions").hidden = answer.text !== undefined;
    if ($("my-tide").open) showTide();
    note(UNDERWAY, null);
    document.body.dataset.planned = String(Number(document.body.dataset.planned ?? 0) + 1);
    // For whoever measures: milliseconds since the page was opened.
    document.body.dataset.since = performance.now().toFixed(0);
    planning = false;
    if (again) {
      again = false;
      plan();
    }
  };
  const begin = () => {
    keep();
    if (check()) plan();
    else {
      close();
      close = () => {};
      $("my-page").replaceChildren();
      $("my-cautions").hidden = false;
      say("");
    }
  };

  // Tide of the day.
  const svg = (name, attributes, text) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (text !== undefined) element.textContent = text;
    return element;
  };
  const showTide = () => {
    const box = $("my-water"), answer = ask({ tide: { from: from(), day: state.day } });
    $("my-day").elements.day.value = state.day;
    if (!answer.good) {
      box.replaceChildren(Object.assign(make("p", words(answer)), { className: "mind" }));
      return;
    }
    const { port, datum, zone, turns, step_minutes, heights_m, upper_m, warnings, cautions } = answer.good;
    const table = make("table"), body = make("tbody"), head = make("tr");
    for (const name of ["time", "water", "height, m", "upper water, m"]) head.append(Object.assign(make("th", name), { scope: "col" }));
    body.append(...turns.map(({ clock, high, height_m, upper_m: most }) => {
      const row = make("tr");
      // The upper water is never told too low.
      row.append(make("td", clock), make("td", high ? "high water" : "low water"), make("td", height_m.toFixed(2)), make("td", most === null ? "not known" : (Math.ceil(most * 100 - 1e-6) / 100).toFixed(2)));
      return row;
    }));
    const top = make("thead");
    top.append(head);
    table.append(top, body);
    const width = 440, left = 40, right = 422, tall = 120, foot = 128;
    const known = [...heights_m, ...upper_m].filter((height) => height !== null);
    const low = Math.min(...known) - 0.2, high = Math.max(...known) + 0.2;
    const last = (heights_m.length - 1) * step_minutes;
    const x = (minute) => left + (right - left) * minute / last, y = (height) => 8 + tall * (1 - (height - low) / (high - low));
    const drawing = svg("svg", { role: "img", viewBox: `0 0 ${width} 146`, "aria-label": "Predicted water and upper water (dashed) over the day" });
    const every = Math.max(1, Math.ceil((high - low) / 6));
    for (let metre = Math.ceil(low); metre <= high; metre += every) {
      drawing.append(svg("line", { class: "grid", x1: left, x2: right, y1: y(metre), y2: y(metre) }), svg("text", { class: "end", x: left - 4, y: y(metre) + 4 }, `${metre} m`));
    }
    for (let hour = 0; hour * 60 <= last; hour += 3) {
      drawing.append(svg("line", { class: "grid", x1: x(hour * 60), x2: x(hour * 60), y1: 8, y2: foot + 3 }), svg("text", { class: "middle", x: x(hour * 60), y: foot + 15 }, `${hour} h`));
    }
    const points = (list) => list.map((height, at) => (height === null ? "" : `${x(at * step_minutes).toFixed(1)},${y(height).toFixed(1)}`)).join(" ");
    drawing.append(svg("polyline", { class: "sea", points: points(heights_m) }), svg("polyline", { class: "sea-upper", points: points(upper_m) }));
    const told = [...warnings, ...cautions].map((text) => Object.assign(make("p", text), { className: "soft" }));
    const none = turns.length ? [] : [make("p", known.length ? "The water does not turn on this day." : "The water of this day is not known.")];
    box.replaceChildren(make("p", `${port}, ${state.day}. Heights in metres above ${datum}. Times in ${zone}; hours since the day began.`), table, ...none, ...(known.length ? [drawing] : []), ...told);
  };

  // Reach.
  const judge = () => {
    const box = $("my-verdict"), answer = ask({ reach: { name: "question", text: $("my-claim").value } });
    if (!answer.good) {
      box.replaceChildren(Object.assign(make("p", words(answer)), { className: "mind" }));
      return;
    }
    const text = make("pre", answer.good.text);
    text.tabIndex = 0;
    text.setAttribute("role", "region");
    text.setAttribute("aria-label", "The answer");
    box.replaceChildren(text, admitted(answer.good.drawing));
  };

  // Files.
  const save = (name, type, text) => {
    const link = make("a");
    link.href = URL.createObjectURL(new Blob([text], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  };
  const moved = (day, by) => {
    const at = Date.parse(`${day}T00:00Z`);
    return Number.isNaN(at) ? day : new Date(at + by * 86400000).toISOString().slice(0, 10);
  };

  const listen = () => {
    const season = $("my-season");
    season.addEventListener("submit", (event) => event.preventDefault());
    season.addEventListener("change", () => {
      if (!season.reportValidity()) return;
      const { from, days, place, subject, light, tide } = season.elements;
      state.wanted = { from: from.value, days: days.valueAsNumber, place: place.value, subject: subject.value, light: light.value, tide: tide.value };
      keep();
      plan();
    });
    for (const [id, way] of [["my-earlier", -1], ["my-later", 1]]) {
      $(id).addEventListener("click", () => {
        state.wanted.from = moved(state.wanted.from, way * Math.max(1, Math.ceil(state.wanted.days / 2)));
        season.elements.from.value = state.wanted.from;
        keep();
        plan();
      });
    }
    $("my-open").addEventListener("change", async (event) => {
      const picked = [...event.target.files];
      if (!picked.length) return;
      const read = await Promise.all(picked.map(async (one) => ({ name: one.name, text: await one.text() })));
      // The one that includes others is the scenario, or else the one that has places.
      const place = ({ text }) => (/^\s*include\s*=/m.test(text) ? 0 : /^\s*\[\[place\]\]/m.test(text) ? 1 : 2);
      state.files = read.sort((a, b) => place(a) - place(b));
      state.changes = [];
      event.target.value = "";
      $("my-which").value = "0";
      showText();
      begin();
    });
    $("my-which").addEventListener("change", showText);
    $("my-text").addEventListener("input", () => {
      const list = files().map((one) => ({ ...one })), at = Number($("my-which").value) || 0;
      if (!state.files) list[at].name = "scenario.toml";
      list[at].text = $("my-text").value;
      state.files = list;
      keep();
    });
    $("my-plan").addEventListener("click", begin);
    $("my-take-demo").addEventListener("click", () => {
      if (state.files && !confirm("The scenario that is open here is put away. Save its files first. Take the demo?")) return;
      state.files = null;
      state.changes = [];
      showText();
      begin();
    });
    $("my-save").addEventListener("click", () => {
      const answer = ask({ files: { from: from() } });
      // What cannot be planned can be kept all the same.
      for (const { name, text } of answer.good ?? files()) save(name.split("/").pop(), "application/toml", text);
    });
    $("my-changes").addEventListener("submit", (event) => event.preventDefault());
    $("my-own").addEventListener("click", () => {
      state.changes = [];
      showFigures();
      keep();
      plan();
    });
    const day = $("my-day");
    day.addEventListener("submit", (event) => event.preventDefault());
    const toDay = (value) => {
      state.day = value;
      keep();
      showTide();
    };
    day.addEventListener("change", () => day.reportValidity() && toDay(day.elements.day.value));
    $("my-day-before").addEventListener("click", () => toDay(moved(state.day, -1)));
    $("my-day-after").addEventListener("click", () => toDay(moved(state.day, 1)));
    $("my-tide").addEventListener("toggle", () => $("my-tide").open && checked && showTide());
    $("my-claim").addEventListener("input", () => {
      state.claim = $("my-claim").value;
      keep();
    });
    $("my-judge").addEventListener("click", judge);
    $("my-claim-demo").addEventListener("click", () => {
      state.claim = null;
      $("my-claim").value = demo.reach;
      keep();
      judge();
    });
    $("my-export").addEventListener("submit", (event) => {
      event.preventDefault();
      const { count, format } = event.target.elements;
      const light = state.wanted.light === "all" ? null : state.wanted.light || null;
      const answer = ask({ season: { from: from(), wanted: { ...wanted(), light }, format: format.value, count: count.valueAsNumber || 15 } });
      if (answer.text === undefined) showProblems(answer);
      else save(`season.${format.value === "text" ? "txt" : format.value}`, "text/plain", answer.text);
    });
    for (const part of document.querySelectorAll("#desk > details")) {
      part.open = state.open.includes(part.id);
      part.addEventListener("toggle", () => {
        state.open = [...document.querySelectorAll("#desk > details")].filter((one) => one.open).map((one) => one.id);
        keep();
      });
    }
  };

  const unfinished = (() => {
    try {
      return localStorage.getItem(UNDERWAY) !== null;
    } catch {
      return false;
    }
  })();
  WebAssembly.compile(packedProgram).then((compiled) => {
    module = compiled;
    $("my-start").remove();
    demo = ask({ demo: {} }).good;
    $("desk").hidden = false;
    listen();
    showText();
    $("my-claim").value = state.claim ?? demo.reach;
    note(UNDERWAY, null);
    if (!check()) {
      $("my-cautions").hidden = false;
      document.body.dataset.planned = "0";
      return;
    }
    if (unfinished) {
      $("my-cautions").hidden = false;
      say("The last plan did not come to its end. All that was typed is here; \u201cCheck and plan\u201d tries again.");
      $("my-scenario").open = true;
      document.body.dataset.planned = "0";
      return;
    }
    plan();
  }).catch((error) => {
    $("my-start")?.remove();
    $("desk").hidden = false;
    say(`The program cannot be started in this browser: ${error.message}`);
  });
  // For whoever tries the page from outside.
  globalThis.wrackline = { ask };
})();
