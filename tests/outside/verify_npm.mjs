// Verify what an office hands out with other people's libraries from npm: each certificate as a credential with its
// eddsa-jcs-2022 proof and status lists, and as a vc+jwt. Run by hand where node is there, with network for the first:
//
//   npm install --no-save --prefix tests/outside
//   warmyard demo --records ../records && node tests/outside/verify_npm.mjs ../records
//
// Every check is made twice: right, and with one thing changed that must be refused. Exit code 1 when one fails.
// Nothing is fetched while it verifies: contexts that the JCS suite does not read are answered with an empty one.

import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { DataIntegrityProof } from "@digitalbazaar/data-integrity";
import * as Ed25519Multikey from "@digitalbazaar/ed25519-multikey";
import { createVerifyCryptosuite } from "@digitalbazaar/eddsa-jcs-2022-cryptosuite";
import * as vc from "@digitalbazaar/vc";
import { checkStatus } from "@digitalbazaar/vc-bitstring-status-list";
import { compactVerify, importJWK } from "jose";

const records = process.argv[2];
if (!records) {
  console.error("name the records folder: node tests/outside/verify_npm.mjs RECORDS");
  process.exit(2);
}
const read = (...parts) => readFileSync(join(records, ...parts), "utf8");
const statusLists = ["revocation", "suspension"].map((name) => JSON.parse(read("status", `${name}.json`)));
let failures = 0;

function say(what, isRight) {
  failures += isRight ? 0 : 1;
  console.log(`${isRight ? "right" : "WRONG"}  ${what}`);
}

async function documentLoader(url) {
  const list = statusLists.find((one) => one.id === url);
  if (list) return { contextUrl: null, documentUrl: url, document: list };
  if (url.startsWith("did:key:")) {
    const [did, fragment] = url.split("#");
    const key = {
      "@context": "https://w3id.org/security/multikey/v1", id: `${did}#${did.slice(8)}`, type: "Multikey",
      controller: did, publicKeyMultibase: did.slice(8),
    };
    const controller = {
      "@context": ["https://www.w3.org/ns/did/v1", "https://w3id.org/security/multikey/v1"], id: did,
      verificationMethod: [key], assertionMethod: [key.id],
    };
    return { contextUrl: null, documentUrl: url, document: fragment ? key : controller };
  }
  if (url.startsWith("https://")) return { contextUrl: null, documentUrl: url, document: { "@context": {} } };
  throw new Error(`not known: ${url}`);
}

async function isTrusted(credential) {
  const suite = new DataIntegrityProof({ cryptosuite: createVerifyCryptosuite() });
  const found = await vc.verifyCredential({
    credential, suite, documentLoader,
    checkStatus: (options) => checkStatus({ ...options, verifyBitstringStatusListCredential: true }),
  });
  // A withdrawn one still counts as verified there; only the status itself says so.
  const entries = found.statusResult?.results ?? [];
  const named = { verified: found.verified, restricted: entries.some((one) => one.status === true) };
  if (!found.verified && process.env.WHY) console.log(JSON.stringify(found, null, 1).slice(0, 4000));
  return named;
}

async function isTrustedJwt(text, did) {
  const { publicKey } = await Ed25519Multikey.from({ publicKeyMultibase: did.slice(8), type: "Multikey" })
    .then((key) => key.export({ publicKey: true, raw: true }));
  const jwk = { kty: "OKP", crv: "Ed25519", x: Buffer.from(publicKey).toString("base64url") };
  try {
    const { payload, protectedHeader } = await compactVerify(text, await importJWK(jwk, "EdDSA"));
    return protectedHeader.typ === "vc+jwt" && JSON.parse(Buffer.from(payload)).issuer.id === did;
  } catch {
    return false;
  }
}

for (const file of readdirSync(join(records, "certificates")).filter((name) => name.endsWith(".json"))) {
  const credential = JSON.parse(read("certificates", file));
  const over = new Date(credential.validUntil) < new Date();
  const found = await isTrusted(credential);
  say(`${file}: ${over ? "its time is over, refused" : `proof holds${found.restricted ? ", suspended or withdrawn" : ""}`}`,
    found.verified !== over);
  const changed = structuredClone(credential);
  changed.credentialSubject.narrative += " And more.";
  say(`${file}: a changed narrative is refused`, !(await isTrusted(changed)).verified);
  const jwt = read("certificates", file.replace(/json$/, "jwt")).trim();
  const [head, claims, signature] = jwt.split(".");
  say(`${file}: the vc+jwt holds`, await isTrustedJwt(jwt, credential.issuer.id));
  const other = claims.slice(0, 40) + (claims[40] === "A" ? "B" : "A") + claims.slice(41);
  say(`${file}: a changed vc+jwt is refused`, !(await isTrustedJwt([head, other, signature].join("."), credential.issuer.id)));
}
console.log(failures ? `${failures} checks failed` : "every check as it should be");
process.exit(failures ? 1 : 0);
