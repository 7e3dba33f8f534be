#!/bin/sh
# Certificates for tests, of a CA that nobody trusts: certs.sh FOLDER
#
# ca.pem and other-ca.pem; each of right, other-name and expired as .pem with its .key.
set -eu
cd "$1"

cat >names.cnf <<END
[req]
distinguished_name = name
[name]
[ca]
basicConstraints = critical,CA:TRUE
keyUsage = critical,keyCertSign
[localhost]
basicConstraints = critical,CA:FALSE
subjectAltName = DNS:localhost
[elsewhere]
basicConstraints = critical,CA:FALSE
subjectAltName = DNS:weather.example
END

# request NAME OPTION...: a new key, and the certificate or what is to be signed
request() {
	name=$1
	shift
	openssl req -config names.cnf -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -keyout "$name.key" "$@"
}

# sign NAME SECTION DAYS
sign() {
	request "$1" -new -subj "/CN=made up" -out "$1.csr"
	openssl x509 -req -in "$1.csr" -CA ca.pem -CAkey ca.key -CAcreateserial -days "$3" \
		-extfile names.cnf -extensions "$2" -out "$1.pem"
}

for ca in ca other-ca; do
	request $ca -x509 -extensions ca -subj "/CN=$ca of the tests" -days 2 -out $ca.pem
done
sign right localhost 2
sign other-name elsewhere 2
sign expired localhost 0
