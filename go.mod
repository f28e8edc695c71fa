module lapwright

go 1.26
