// The scripts of a page are classic scripts for every browser; each sets what it offers on WY.
// The layout is looked at here too (eslint --fix lays out): a small function may stay on its line, as it is written.
import js from "@eslint/js";
import stylistic from "@stylistic/eslint-plugin";
import globals from "globals";

export default [
  { ignores: ["**/vendored/**"] }, // made by others; pinned by their hashes
  js.configs.recommended,
  {
    files: ["**/*.js"],
    plugins: { "@stylistic": stylistic },
    languageOptions: { ecmaVersion: 2020, sourceType: "script", globals: globals.browser },
    rules: {
      "@stylistic/arrow-spacing": "error",
      "@stylistic/block-spacing": "error",
      "@stylistic/brace-style": ["error", "1tbs", { allowSingleLine: true }],
      "@stylistic/comma-spacing": "error",
      "@stylistic/eol-last": "error",
      "@stylistic/indent": ["error", 2, { ignoredNodes: ["ConditionalExpression *"] }],
      "@stylistic/key-spacing": "error",
      "@stylistic/keyword-spacing": "error",
      "@stylistic/max-len": ["error", { code: 140, ignoreRegExpLiterals: true, ignoreStrings: true }],
      "@stylistic/no-multiple-empty-lines": ["error", { max: 1, maxEOF: 0 }],
      "@stylistic/no-trailing-spaces": "error",
      "@stylistic/quotes": ["error", "double", { avoidEscape: true }],
      "@stylistic/semi": "error",
      "@stylistic/space-before-blocks": "error",
      "@stylistic/space-before-function-paren": ["error", { anonymous: "always", named: "never" }],
      "@stylistic/space-in-parens": "error",
      "@stylistic/space-infix-ops": "error",
      complexity: ["error", 12],
      curly: "error",
      eqeqeq: "error",
      "max-lines": ["error", 399],
      "max-lines-per-function": ["error", { max: 60, IIFEs: false }],
      "no-unused-vars": ["error", { caughtErrors: "none" }],
    },
  },
  {
    files: ["**/worker.js"], // a service worker; telephone.py writes the three names above it
    languageOptions: { globals: { ...globals.serviceworker, FILES: "readonly", FRESH: "readonly", SITE: "readonly" } },
  },
];
