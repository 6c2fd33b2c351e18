// The sheet of a notice: who has read again says so with an id and a tick, and saves the answer for the office.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var sheet = WY.sheet;
  var element = WY.element;
  var say = WY.word;
  var ID = /^[a-z0-9-]{1,40}$/;

  // What is saved: exactly the fields of certify/acts/notice_filing.py.
  function record(notice, person, on) {
    return { notice: notice, on: on, person: person };
  }

  function start() {
    WY.words = sheet.data("words");
    var facts = sheet.data("notice");
    /** @type {any} */
    var main = document.getElementById("wy-main");
    var status = element("p", { role: "status", class: "wy-status" });
    var person = element("input", { type: "text", id: "wy-person", autocomplete: "off", autocapitalize: "none", maxlength: 40 });
    var read = element("input", { type: "checkbox", id: "wy-read" });

    function finish() {
      var id = person.value.trim().toLowerCase();
      if (!ID.test(id)) {
        status.textContent = say("notice.need_id");
        person.focus();
        return;
      }
      if (!read.checked) {
        status.textContent = say("notice.need_tick");
        read.focus();
        return;
      }
      var name = facts.notice + "." + id + ".json";
      WY.saveFile(name, WY.seal.bytesOf(JSON.stringify(record(facts.notice, id, WY.today()))));
      status.textContent = say("notice.saved", { file: name });
    }

    main.querySelector(".wy-alert").remove();
    WY.add(main, [
      element("label", { class: "wy-field" }, element("span", {}, say("notice.id")), person),
      element("p", {}, element("label", {}, read, " " + say("notice.tick"))),
      element("div", { class: "wy-actions" }, WY.button("notice.save", finish, { class: "wy-button wy-button--main" })),
      status,
    ]);
  }

  WY.whenReady(start);
  WY.notice = { record: record };
})();
