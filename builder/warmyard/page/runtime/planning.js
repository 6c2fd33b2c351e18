// When a service is due: the earlier of two dates, as formula/planning.py works it out.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var DAY_MS = 86400000;
  var DATE = /^(\d{4})-(\d{2})-(\d{2})$/;

  // Days since 1970-01-01 of a date written YYYY-MM-DD, or null when there is no such day.
  function dayNumber(text) {
    var parts = DATE.exec(String(text).trim());
    if (!parts) {
      return null;
    }
    var time = Date.UTC(+parts[1], +parts[2] - 1, +parts[3]);
    return new Date(time).toISOString().slice(0, 10) === parts[0] ? time / DAY_MS : null;
  }

  function written(day) {
    return new Date(day * DAY_MS).toISOString().slice(0, 10);
  }

  // The same day a number of months later, clipped to the end of a shorter month.
  function monthsAfter(text, months) {
    /** @type {any} */
    var parts = DATE.exec(String(text).trim());
    var count = +parts[1] * 12 + (+parts[2] - 1) + months;
    var year = Math.floor(count / 12);
    var month = count % 12;
    var last = new Date(Date.UTC(year, month + 1, 0)).getUTCDate();
    return Date.UTC(year, month, Math.min(+parts[3], last)) / DAY_MS;
  }

  // The first thing that cannot be, of the dates before the numbers, or null.
  function refusal(given, last, read) {
    var months = given.interval_months;
    if (last === null || read === null) {
      return { problem: "plan.date", symbol: last === null ? "last" : "read_on" };
    }
    if (read < last) {
      return { problem: "plan.older", symbol: "read_on" };
    }
    if (!(given.interval_h > 0)) {
      return { problem: "plan.hours", symbol: "interval_h" };
    }
    if (!(Number.isInteger(months) && months >= 1 && months <= 1200)) {
      return { problem: "plan.months", symbol: "interval_months" };
    }
    return given.per_day >= 0 && given.per_day <= 24 ? null : { problem: "plan.per-day", symbol: "per_day" };
  }

  // Takes {last, read_on, interval_h, interval_months, used_h, per_day}: dates as text, the rest numbers.
  // Returns {on, by, hours_left, by_hours, by_calendar} or {problem: a word of words.yaml, symbol}.
  function serviceDue(given) {
    var last = dayNumber(given.last);
    /** @type {any} */
    var read = given.read_on ? dayNumber(given.read_on) : last;
    var refused = refusal(given, last, read);
    if (refused) {
      return refused;
    }
    var left = Math.max(0, given.interval_h - given.used_h);
    var calendar = monthsAfter(given.last, given.interval_months);
    var hours = given.per_day > 0 ? read + Math.floor(left / given.per_day + 1e-9) : null;
    var byHours = hours !== null && hours <= calendar;
    return {
      on: written(byHours ? hours : calendar),
      by: byHours ? "hours" : "calendar",
      hours_left: left,
      by_hours: hours === null || hours > calendar + 4000000 ? null : written(hours),
      by_calendar: written(calendar),
    };
  }

  WY.planning = { serviceDue: serviceDue };
})();
