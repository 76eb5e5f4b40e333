fn _x(){}
