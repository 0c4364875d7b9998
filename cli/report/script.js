// SPDX-License-Identifier: GPL-3.0-or-later
// Turns the side view and moves a marker along the curves as the slider moves. The page says everything without it.
(function () {
  "use strict";

  const data = JSON.parse(document.getElementById("data").textContent);
  const slider = document.getElementById("angle");
  const series = data.series;

  function byId(id) {
    return document.getElementById(id);
  }

  // Tables that fit need no stop of the keyboard.
  function markScrollers() {
    for (const region of document.querySelectorAll(".table")) {
      if (region.scrollWidth > region.clientWidth) {
        region.setAttribute("tabindex", "0");
      } else {
        region.removeAttribute("tabindex");
      }
    }
  }

  function turned(x, y, degrees, about) {
    const angle = degrees * Math.PI / 180;
    const dx = x - about[0];
    const dy = y - about[1];
    return [about[0] + dx * Math.cos(angle) - dy * Math.sin(angle),
            about[1] + dx * Math.sin(angle) + dy * Math.cos(angle)];
  }

  function place(point) {
    const side = data.side;
    return [side.trunnion[0] + side.scale * point[0], side.trunnion[1] - side.scale * point[1]];
  }

  function setLine(id, from, to) {
    const text = (point) => point[0].toFixed(2) + " " + point[1].toFixed(2);
    byId(id).setAttribute("d", "M" + text(from) + "L" + text(to));
  }

  function turn(id, degrees, about) {
    byId(id).setAttribute("transform", "rotate(" + -degrees + " " + about[0] + " " + about[1] + ")");
  }

  // Words within what turns stay level.
  function keepUpright(body, degrees) {
    for (const words of document.querySelectorAll("[data-upright=" + body + "]")) {
      const x = words.getAttribute("x");
      const y = words.getAttribute("y");
      words.setAttribute("transform", "rotate(" + degrees + " " + x + " " + y + ")");
    }
  }

  function turnSideView(index, degrees) {
    const side = data.side;
    turn("leaf-turn", degrees, side.trunnion);
    keepUpright("leaf", degrees);
    if (side.rod) {
      const pin = place(turned(side.rod[0], side.rod[1], degrees, [0, 0]));
      const fixed = place([side.rod[2], side.rod[3]]);
      setLine("rod", fixed, pin);
      if (byId("barrel")) {
        const start = place([side.rod[0], side.rod[1]]);
        const half = Math.hypot(start[0] - fixed[0], start[1] - fixed[1]) / 2;
        const length = Math.hypot(pin[0] - fixed[0], pin[1] - fixed[1]);
        const end = [fixed[0] + (pin[0] - fixed[0]) * half / length, fixed[1] + (pin[1] - fixed[1]) * half / length];
        setLine("barrel", fixed, end);
      }
    }
    if (side.link) {
      const psi = side.psi_deg[index];
      const start = place(side.centre[0]);
      const centre = place(side.centre[index]);
      byId("centre").setAttribute("transform",
                                  "translate(" + (centre[0] - start[0]) + " " + (centre[1] - start[1]) + ")");
      turn("counterweight-turn", psi, side.pivot);
      keepUpright("counterweight", psi);
      setLine("link", place(turned(side.link[0], side.link[1], degrees, [0, 0])),
              place(turned(side.link[2], side.link[3], psi, side.pivot_m)));
    }
  }

  function at(scale, value) {
    return scale[2] + (value - scale[0]) / (scale[1] - scale[0]) * (scale[3] - scale[2]);
  }

  function element(name, className, parent) {
    const made = document.createElementNS(parent.namespaceURI, name);
    made.setAttribute("class", className);
    parent.appendChild(made);
    return made;
  }

  // A run passes an angle between two rows of its trace: the first time, and the share of the way to the next row.
  function passes(direction, degrees) {
    const angles = series[direction + " angle_deg"];
    for (let i = 0; i + 1 < angles.length; i++) {
      const low = Math.min(angles[i], angles[i + 1]);
      const high = Math.max(angles[i], angles[i + 1]);
      if (degrees >= low && degrees <= high) {
        return {row: i, share: high > low ? (degrees - angles[i]) / (angles[i + 1] - angles[i]) : 0};
      }
    }
    return null;
  }

  function between(values, passed) {
    const next = values[Math.min(passed.row + 1, values.length - 1)];
    return values[passed.row] + (next - values[passed.row]) * passed.share;
  }

  // Where a chart's marker stands, and its values: by angle, or by the time at which a run passes the angle.
  function reading(chart, index, degrees) {
    if (chart.axis === "angle") {
      return {x: degrees, values: chart.lines.map((line) => series[line.series][index])};
    }
    const passed = passes(chart.axis, degrees);
    if (!passed) {
      return null;
    }
    return {x: between(series[chart.axis + " time_s"], passed),
            values: chart.lines.map((line) => between(series[line.series], passed))};
  }

  function moveMarker(chart, index, degrees) {
    const svg = byId(chart.id);
    if (!chart.marker) {
      const group = element("g", "marker", svg);
      group.setAttribute("aria-hidden", "true");
      chart.marker = {group: group, cursor: element("path", "cursor", group),
                      dots: chart.lines.map((line) => element("circle", "dot", group))};
    }
    const found = reading(chart, index, degrees);
    chart.marker.group.style.display = found ? "" : "none";
    if (!found) {
      return;
    }
    const x = at(chart.x, found.x);
    chart.marker.cursor.setAttribute("d", "M" + x.toFixed(2) + " " + chart.y[2] + "V" + chart.y[3]);
    chart.lines.forEach((line, i) => {
      const dot = chart.marker.dots[i];
      const value = found.values[i];
      const y = value === null ? null : at(chart.y, value * line.factor);
      const shown = y !== null && y >= chart.y[3] - 1 && y <= chart.y[2] + 1;
      dot.style.display = shown ? "" : "none";
      dot.setAttribute("r", "3.5");
      dot.setAttribute("cx", x.toFixed(2));
      dot.setAttribute("cy", shown ? y.toFixed(2) : "0");
    });
  }

  function shown(readout, index) {
    const value = series[readout.series][index];
    const text = (value * readout.factor).toFixed(readout.decimals);
    return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
  }

  function cell(name, scope, className, words, row) {
    const made = element(name, className, row);
    made.textContent = words;
    if (scope) {
      made.setAttribute("scope", scope);
    }
    return made;
  }

  // The columns of the table of values: what is read out of each case, by its words.
  function readoutColumns() {
    const found = new Map();
    for (const readout of data.readouts.filter((one) => one.case !== null)) {
      found.set(readout.words, readout);
    }
    return [...found.values()];
  }

  function makeHead(columns) {
    const head = document.querySelector("#readouts thead tr");
    cell("th", "col", "", "Case", head);
    for (const column of columns) {
      cell("span", "", "unit", column.unit, cell("th", "col", "number", column.words + " ", head));
    }
  }

  // Columns keep their width while the numbers in them change.
  function longest(readout) {
    return Math.max(...series.angle_deg.map((angle, index) => shown(readout, index).length));
  }

  function makeReadouts() {
    const columns = readoutColumns();
    const body = document.querySelector("#readouts tbody");
    const names = [...new Set(data.readouts.map((one) => one.case))].filter((name) => name !== null);
    makeHead(columns);
    for (const name of names) {
      const row = element("tr", "", body);
      element("bdi", "", cell("th", "row", "", "", row)).textContent = name;
      for (const column of columns) {
        const readout = data.readouts.find((one) => one.case === name && one.words === column.words);
        const value = cell("td", "", "number", "–", row);
        value.dataset.head = column.words + ", " + column.unit;
        if (readout) {
          readout.cell = value;
          value.style.minWidth = "calc(" + longest(readout) + "ch + 1.3rem)";
        }
      }
    }
    byId("readouts").hidden = names.length === 0;
    byId("readouts").firstElementChild.classList.add("stack");
    byId("readouts").parentNode.classList.add("live");
  }

  function show() {
    const index = Number(slider.value);
    const degrees = series.angle_deg[index];
    const words = Number(degrees.toFixed(2)) + "°";
    turnSideView(index, degrees);
    for (const chart of data.charts) {
      moveMarker(chart, index, degrees);
    }
    for (const readout of data.readouts.filter((one) => one.cell)) {
      readout.cell.textContent = shown(readout, index);
    }
    slider.setAttribute("aria-valuetext", words);
    byId("angle-words").textContent = words + ": " + data.readouts[0].words.split(",")[0] + " " +
      shown(data.readouts[0], index) + "\u00a0" + data.readouts[0].unit;
  }

  if (slider) {
    makeReadouts();
    byId("slider").hidden = false;
    slider.addEventListener("input", show);
    show();
  }
  markScrollers();
  window.addEventListener("resize", markScrollers);
})();
