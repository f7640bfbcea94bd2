#compdef spillcheck
# Completion of spillcheck for zsh. To use it, save it as _spillcheck in a folder of $fpath, or source it after compinit.

_spillcheck() {
    local line word
    local -a names shown parts partsShown
    while IFS= read -r line; do
        word=${line%%$'\t'*}
        if [[ -z $word ]]; then
            _files
            return
        fi
        line=${line#*$'\t'}
        if [[ $word == *= ]]; then
            parts+=("$word")
            partsShown+=("$word${line:+  -- $line}")
        else
            names+=("$word")
            shown+=("$word${line:+  -- $line}")
        fi
    done < <(${(Q)words[1]} completion words -- "${(@)words[2,CURRENT-1]}" "$PREFIX" 2>/dev/null)
    (( $#names )) && compadd -l -d shown -a names
    (( $#parts )) && compadd -l -S '' -d partsShown -a parts
    return 0
}

if [[ $funcstack[1] == _spillcheck ]]; then
    _spillcheck "$@"
else
    compdef _spillcheck spillcheck
fi
