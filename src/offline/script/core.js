"use strict";
// What every part of this page's script shares. Nothing here asks a network for anything or keeps
// anything that is typed.

// The lists that the program wrote into the page.
const data = JSON.parse(document.getElementById("data").textContent);
for (const check of Object.values(data.checks)) {
  check.inputs = check.inputs.map((place) => data.inputs[place]);
}

// The sums by the names of their checks: inputs in coherent SI units or words, results likewise.
const sums = {};

// Why there is no result: the inputs together make no sense,
class Contradiction extends Error {}
// or one of them is missing,
class Missing extends Error {}
// or one of them can't be taken as it is typed.
class Refused extends Error {}
