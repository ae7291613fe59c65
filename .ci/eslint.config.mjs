// Rules for the scripts of the pages and their tests. `.ci/run` lints the scripts joined, as a page holds them, so that a
// name which one file declares and another uses is known, and one that nothing uses is found.
import js from '@eslint/js';

const readable = (...names) => Object.fromEntries(names.map((name) => [name, 'readonly']));

export default [
  js.configs.recommended,
  {
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: { 'no-unused-vars': 'error', 'no-undef': 'error', eqeqeq: 'error' },
  },
  {
    files: ['page.js', 'scope.js'],
    languageOptions: { sourceType: 'script', globals: readable('document', 'window', 'location', 'history', 'requestAnimationFrame', 'ResizeObserver') },
  },
  { files: ['pagetest/**/*.js'], languageOptions: { sourceType: 'commonjs', globals: readable('__dirname', 'process') } },
];
