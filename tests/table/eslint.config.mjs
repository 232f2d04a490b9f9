// How the page's modules and the scripts in a browser are linted: what a compiler of types does not see.

export default [
  {
    files: ["src/table/page/**/*.js", "tests/table/*.mjs", "tests/browser/*.mjs"],
    languageOptions: { ecmaVersion: 2022, sourceType: "module" },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "array-callback-return": "error",
      eqeqeq: ["error", "always", { null: "ignore" }],
      "no-constant-condition": "error",
      "no-dupe-keys": "error",
      "no-else-return": "error",
      "no-eval": "error",
      "no-implied-eval": "error",
      "no-self-compare": "error",
      "no-unreachable": "error",
      "no-unused-vars": "error",
      "no-use-before-define": ["error", { functions: false, variables: false }],
      "no-var": "error",
      "prefer-const": "error",
      "use-isnan": "error",
    },
  },
  // What a script hands into a page has the names that it has outside.
  { files: ["src/table/page/**/*.js"], rules: { "no-shadow": "error" } },
];
