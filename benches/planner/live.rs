pub fn print() {}
