package bundle

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/hiddeco/sshsig"
	"golang.org/x/crypto/ssh"
)

// namespace keeps a signature made for a bundle from passing for one of something
// else: it is what ssh-keygen calls -n.
const namespace = "lapwright-bundle"

// Sign signs the list of what the bundle holds, and with it all of that. key is a
// private key as ssh-keygen writes it, without a passphrase.
func (b *Bundle) Sign(key []byte) error {
	signer, err := ssh.ParsePrivateKey(key)
	var locked *ssh.PassphraseMissingError
	if errors.As(err, &locked) {
		return errors.New("the key has a passphrase; sign with one that has none")
	}
	if err != nil {
		return fmt.Errorf("it is no private key of the form that ssh-keygen writes: %w", err)
	}
	signature, err := sshsig.Sign(bytes.NewReader(b.List()), signer, sshsig.HashSHA512, namespace)
	if err != nil {
		return err
	}
	b.Signature = sshsig.Armor(signature)
	return nil
}

// Signer returns the key that signed the bundle, nil where none did. An error says
// that the signature is not one of what the bundle holds.
func (b *Bundle) Signer() (ssh.PublicKey, error) {
	if b.Signature == nil {
		return nil, nil
	}
	signature, err := sshsig.Unarmor(b.Signature)
	if err != nil {
		return nil, err
	}
	if err := sshsig.Verify(bytes.NewReader(b.List()), signature, signature.PublicKey, signature.HashAlgorithm, namespace); err != nil {
		return nil, err
	}
	return signature.PublicKey, nil
}

// Trusted are keys and whose they are.
type Trusted []Owner

// An Owner is a key and whose it is.
type Owner struct {
	Name string
	Key  ssh.PublicKey
}

// ReadTrusted reads a list of keys in the form that ssh-keygen calls allowed
// signers: a name, the kind of key and the key, one to a line. Lines that start
// with # and empty lines do not count. Options are refused.
func ReadTrusted(data []byte) (Trusted, error) {
	var all Trusted
	for i, line := range strings.Split(string(data), "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		name, key, _ := strings.Cut(line, " ")
		public, _, options, _, err := ssh.ParseAuthorizedKey([]byte(key))
		if err != nil || len(options) > 0 {
			return nil, fmt.Errorf("line %d is not a name, a kind of key and a key, as in: anna ssh-ed25519 AAAA…", i+1)
		}
		all = append(all, Owner{name, public})
	}
	return all, nil
}

// Who returns whose key it is, "" where it is not on the list.
func (t Trusted) Who(key ssh.PublicKey) string {
	for _, k := range t {
		if bytes.Equal(k.Key.Marshal(), key.Marshal()) {
			return k.Name
		}
	}
	return ""
}
