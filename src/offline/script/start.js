// For whoever wants to see from outside what the page computes.
globalThis.whytrip = { data, engine, search, Contradiction, Missing, Refused };
// Without a script the page is whole; these add search, sums and opening by address.
behind.start();
finder.start();
forms.start();
place.start();
