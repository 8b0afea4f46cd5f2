// What every part of this page's script shares. Nothing here asks a network for anything or keeps
// anything that is typed.

// The lists that the program wrote into the page, unpacked.
const packed = Uint8Array.from(atob(document.getElementById("data").textContent), (letter) => letter.charCodeAt(0));
const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
const data = await new Response(unpacked).json();
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
