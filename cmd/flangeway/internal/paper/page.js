(function () {
  "use strict";
  var d = document;

  // What is looked at stands behind the # of the address: the part of the page, then ! and what each table is filtered by
  // and ordered by, so that a copied address shows the same.
  var shown = {}, tables = {};

  function parts() {
    var hash = location.hash.slice(1), at = hash.indexOf("!");
    return at < 0 ? [hash, ""] : [hash.slice(0, at), hash.slice(at + 1)];
  }

  function plain(s) {
    try { return decodeURIComponent(s); } catch (e) { return ""; }
  }

  function keep(anchor) {
    var list = Object.keys(shown).filter(function (id) { return shown[id].filter || shown[id].order; }).map(function (id) {
      return id + "=" + encodeURIComponent(shown[id].filter) + "~" + shown[id].order;
    });
    history.replaceState(null, "", "#" + anchor + (list.length ? "!" + list.join("&") : ""));
  }

  // A link into what is folded unfolds it.
  function unfold(to) {
    var at = to && d.getElementById(plain(to)), fold = at && at.closest("details");
    if (fold && !fold.open) { fold.open = true; }
    return at;
  }

  function arrive() {
    var p = parts(), at = unfold(p[0]);
    if (p[1] === "" && Object.keys(shown).length) { keep(p[0]); }
    if (at) { at.scrollIntoView(); }
  }
  window.addEventListener("hashchange", arrive);
  var order = new Intl.Collator("en", { numeric: true });

  function make(tag, text) {
    var e = d.createElement(tag);
    if (text) { e.textContent = text; }
    return e;
  }

  // What a row sorts by in column i: a number where the cell has one, else its text.
  function key(row, i) {
    var c = row.cells[i], k = c.getAttribute("data-k");
    if (k !== null) { return parseFloat(k); }
    if (c.classList.contains("n") || c.hasAttribute("data-n")) {
      var v = parseFloat(c.textContent);
      return isNaN(v) ? null : v;
    }
    var s = c.textContent.trim();
    return s === "" ? null : s;
  }

  function compare(a, b) {
    if (typeof a === "number" && typeof b === "number") { return a - b; }
    return order.compare(String(a), String(b));
  }

  function tools(table) {
    var body = table.tBodies[0], heads = table.tHead.rows[0].cells;
    var printed = Array.prototype.slice.call(body.rows);
    var words = printed.map(function (r) { return r.textContent.toLowerCase(); });
    var bar = make("div");
    bar.className = "tools";
    var select = make("select"), input = make("input"), status = make("span");
    input.type = "search";
    status.setAttribute("role", "status");

    function sort(i, down) {
      var rows = printed.slice();
      if (i >= 0) {
        // What has no value stays behind, whichever way.
        rows.sort(function (a, b) {
          var x = key(a, i), y = key(b, i);
          if (x === null || y === null) { return x === y ? 0 : x === null ? 1 : -1; }
          var c = compare(x, y);
          return down ? -c : c;
        });
      }
      rows.forEach(function (r) { body.appendChild(r); });
      for (var j = 0; j < heads.length; j++) {
        if (j === i) { heads[j].setAttribute("aria-sort", down ? "descending" : "ascending"); } else { heads[j].removeAttribute("aria-sort"); }
      }
      select.value = i < 0 ? "" : i + (down ? "d" : "a");
    }

    function note() {
      shown[table.id] = { filter: input.value.trim(), order: select.value };
      keep(parts()[0]);
    }

    function filter() {
      var want = input.value.toLowerCase().split(/\s+/).filter(Boolean), shown = 0;
      printed.forEach(function (r, j) {
        var ok = want.every(function (w) { return words[j].indexOf(w) >= 0; });
        r.hidden = !ok;
        if (ok) { shown++; }
      });
      bar.classList.toggle("on", want.length > 0);
      status.textContent = want.length > 0 ? shown + " of " + printed.length + " rows with \u201c" + input.value.trim() + "\u201d" : "";
    }

    var option = make("option", "as printed");
    option.value = "";
    select.appendChild(option);
    Array.prototype.forEach.call(heads, function (th, i) {
      // Not a button element: those are left blank where a printer repeats the head.
      var name = th.textContent, button = make("span", name);
      button.setAttribute("role", "button");
      button.tabIndex = 0;
      var turn = function () { sort(i, th.getAttribute("aria-sort") === "ascending"); note(); };
      button.addEventListener("click", turn);
      button.addEventListener("keydown", function (e) {
        if (e.key === "Enter" || e.key === " ") { e.preventDefault(); turn(); }
      });
      th.textContent = "";
      th.appendChild(button);
      ["a", "d"].forEach(function (way) {
        var o = make("option", name + (way === "a" ? ", up" : ", down"));
        o.value = i + way;
        select.appendChild(o);
      });
    });
    select.addEventListener("change", function () {
      var v = select.value;
      sort(v === "" ? -1 : parseInt(v, 10), v.slice(-1) === "d");
      note();
    });
    input.addEventListener("input", function () { filter(); note(); });
    tables[table.id] = function (words, order) {
      input.value = words;
      filter();
      if (/^\d+[ad]$/.test(order) && parseInt(order, 10) < heads.length) { sort(parseInt(order, 10), order.slice(-1) === "d"); }
      shown[table.id] = { filter: words.trim(), order: select.value };
      unfold(table.id);
    };
    [["Filter", input], ["Order", select]].forEach(function (p) {
      var label = make("label", p[0] + " ");
      label.appendChild(p[1]);
      bar.appendChild(label);
    });
    bar.appendChild(status);
    table.parentNode.insertBefore(bar, table);
  }

  Array.prototype.forEach.call(d.querySelectorAll("table.sorts"), function (t) {
    if (t.tBodies[0].rows.length > 5) { tools(t); }
  });

  var places = d.querySelectorAll(".place > h3");
  if (places.length > 1) {
    var bar = make("div"), label = make("label", "Jump to a location "), jump = make("select"), go = make("button", "Go");
    bar.className = "jump";
    go.type = "button";
    jump.appendChild(make("option", ""));
    Array.prototype.forEach.call(places, function (h) {
      var o = make("option", h.firstChild.textContent.trim());
      o.value = h.parentNode.id;
      h.tabIndex = -1;
      jump.appendChild(o);
    });
    // Choosing does not jump: arrow keys pass over every choice.
    var leap = function () {
      if (!jump.value) { return; }
      location.hash = jump.value;
      arrive();
      d.querySelector("#" + jump.value + " > h3").focus({ preventScroll: true });
    };
    jump.addEventListener("keydown", function (e) {
      if (e.key === "Enter") { e.preventDefault(); leap(); }
    });
    go.addEventListener("click", leap);
    label.appendChild(jump);
    bar.appendChild(label);
    bar.appendChild(go);
    d.querySelector("nav").appendChild(bar);
  }

  parts()[1].split("&").forEach(function (s) {
    var at = s.indexOf("="), id = s.slice(0, at), v = s.slice(at + 1), cut = v.lastIndexOf("~");
    if (at > 0 && cut >= 0 && Object.prototype.hasOwnProperty.call(tables, id)) { tables[id](plain(v.slice(0, cut)), v.slice(cut + 1)); }
  });
  if (parts()[0] || parts()[1]) { arrive(); }
})();
