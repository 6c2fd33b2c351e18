// Opens what the office sealed, seals drafts with the same key, and gives the code of a file. WebCrypto only.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  var LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"; // RFC 4648 base32: no 0, 1, 8, 9 to mix up
  var MISREAD = { 0: "O", 1: "I", 8: "B" };

  // Bytes -> base32 without padding.
  function base32(bytes) {
    var text = "";
    var held = 0;
    var bits = 0;
    for (var at = 0; at < bytes.length; at += 1) {
      held = (held << 8) | bytes[at];
      bits += 8;
      while (bits >= 5) {
        bits -= 5;
        text += LETTERS[(held >>> bits) & 31];
      }
      held &= (1 << bits) - 1;
    }
    return bits ? text + LETTERS[(held << (5 - bits)) & 31] : text;
  }

  function inGroups(text) {
    return text.replace(/(.{4})(?=.)/g, "$1-");
  }

  // What a person typed from a slip -> the letters meant, as envelope.plain_phrase reads them.
  function plain(text) {
    return String(text)
      .toUpperCase()
      .replace(/[018]/g, function (digit) {
        return MISREAD[digit];
      })
      .replace(/[^A-Z2-7]/g, "");
  }

  function bytesOf(text) {
    return new TextEncoder().encode(text);
  }

  function textOf(bytes) {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  }

  function toBase64(bytes) {
    var text = "";
    for (var at = 0; at < bytes.length; at += 8192) {
      text += String.fromCharCode.apply(null, bytes.subarray(at, at + 8192));
    }
    return btoa(text);
  }

  // Base64, plain or for addresses -> bytes.
  function fromBase64(text) {
    var found = atob(String(text).replace(/-/g, "+").replace(/_/g, "/"));
    var bytes = new Uint8Array(found.length);
    for (var at = 0; at < found.length; at += 1) {
      bytes[at] = found.charCodeAt(at);
    }
    return bytes;
  }

  // True where this browser, opened this way, can open a sealed paper: http on a plain address cannot.
  function ready() {
    return Boolean(globalThis.isSecureContext && globalThis.crypto && globalThis.crypto.subtle);
  }

  async function digest(bytes) {
    return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  }

  // The code of a file: 16 base32 characters of its SHA-256, in groups of four.
  async function code(bytes) {
    return inGroups(base32(await digest(bytes)).slice(0, 16));
  }

  // Phrase and sealed head (salt, rounds) -> AES-GCM key that never leaves WebCrypto.
  async function keyFrom(phrase, sealed) {
    var base = await crypto.subtle.importKey("raw", bytesOf(plain(phrase)), "PBKDF2", false, ["deriveKey"]);
    return crypto.subtle.deriveKey(
      { name: "PBKDF2", hash: "SHA-256", salt: fromBase64(sealed.salt), iterations: sealed.rounds },
      base,
      { name: "AES-GCM", length: 256 },
      false,
      ["encrypt", "decrypt"],
    );
  }

  // Rejects when the key is not the right one, or a byte of the box or of `about` was changed.
  async function open(key, sealed, about) {
    var how = { name: "AES-GCM", iv: fromBase64(sealed.nonce), additionalData: bytesOf(about) };
    return new Uint8Array(await crypto.subtle.decrypt(how, key, fromBase64(sealed.box)));
  }

  async function close(key, bytes, about) {
    var nonce = crypto.getRandomValues(new Uint8Array(12));
    var how = { name: "AES-GCM", iv: nonce, additionalData: bytesOf(about) };
    var box = new Uint8Array(await crypto.subtle.encrypt(how, key, bytes));
    return { nonce: toBase64(nonce), box: toBase64(box) };
  }

  WY.seal = {
    base32: base32,
    inGroups: inGroups,
    plain: plain,
    bytesOf: bytesOf,
    textOf: textOf,
    toBase64: toBase64,
    fromBase64: fromBase64,
    ready: ready,
    digest: digest,
    code: code,
    keyFrom: keyFrom,
    open: open,
    close: close,
  };
})();
