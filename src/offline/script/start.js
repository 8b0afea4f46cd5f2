// Without a script the page is whole; these add search, sums and opening by address.
behind.start();
finder.start();
forms.start();
place.start();
