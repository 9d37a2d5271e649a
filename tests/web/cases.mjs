// Counts what holds, and says what does not.

let [passed, failed] = [0, 0];

export function holds(what, truth, more = "") {
  if (truth) passed += 1;
  else {
    failed += 1;
    console.log(`not so: ${what} ${more}`);
  }
}

/** The closing line, and how the program is to end. */
export function ends() {
  console.log(`${passed} passed, ${failed} failed`);
  process.exitCode = failed ? 1 : 0;
}
