fn _x() {}
