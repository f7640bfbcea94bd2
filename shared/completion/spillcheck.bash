# Completion of spillcheck for bash 3.2 and later. To use it: source <(spillcheck completion bash)

_spillcheck() {
    local i word line reply before typed
    local -a words=()
    compopt +o default 2>/dev/null
    # bash splits words at = and :, the program needs them whole
    for ((i = 1; i <= COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if ((i > 1)) && [[ $word == [=:] || ${COMP_WORDS[i - 1]} == [=:] ]]; then
            words[${#words[@]} - 1]+=$word
        else
            words[${#words[@]}]=$word
        fi
    done
    typed=${words[${#words[@]} - 1]}
    before=
    [[ $typed == *[=:]* && ${COMP_WORDS[COMP_CWORD]} != "$typed" ]] && before=${typed%"${typed##*[=:]}"}

    COMPREPLY=()
    while IFS= read -r line; do
        reply=${line%%$'\t'*}
        if [[ -z $reply ]]; then
            compopt -o default 2>/dev/null
            return
        fi
        [[ $reply == *= ]] && compopt -o nospace 2>/dev/null
        reply=${reply#"$before"}
        # within quotes a name needs no escaping
        [[ ${COMP_WORDS[COMP_CWORD]} == [\"\']* ]] || printf -v reply %q "$reply"
        COMPREPLY[${#COMPREPLY[@]}]=$reply
    done < <("$1" completion words -- "${words[@]}" 2>/dev/null)
}

complete -o default -F _spillcheck spillcheck
